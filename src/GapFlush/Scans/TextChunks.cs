namespace GapFlush.Scans;

/// <summary>Lines of points, once the first lines have told how they are written.</summary>
internal sealed class TextChunks(ByteFeed feed, TextLayout layout, int linesBefore) : LinePieces(feed, layout)
{
    private int _lines = linesBefore;

    /// <summary>True where the last line has no end, as in a file that was cut short.</summary>
    public bool EndsOpen { get; private set; }

    protected override ScanFormatException TooLong => new("a line of more than a megabyte", "lines of text with a point each", "This is not a text file of points; give the scan itself.", 1);

    protected override bool Next(Chunk chunk)
    {
        bool more = base.Next(chunk);
        if (HasEnded && chunk.Length > 0) EndsOpen = chunk.Bytes[chunk.Length - 1] is not ((byte)'\n' or (byte)'\r');
        return more;
    }

    protected override bool Line(ReadOnlySpan<byte> line, int number, BlockWriter writer, out ScanFormatException? fault)
    {
        fault = null;
        line = line.Trim((byte)' ');
        if (TextLayout.IsNoPoint(line)) return true;
        if (Quick!.TryRead(line, out double x, out double y, out double z, out int wrong)) writer.Add(x, y, z);
        else fault = Quick!.Wrong(line, wrong, number);
        return true;
    }

    protected override void Passed(Chunk chunk)
    {
        if (chunk.Fault is not null) throw chunk.Fault.After(_lines);
        _lines += chunk.Lines;
    }
}
