using System.Text;

namespace GapFlush.Scans;

/// <summary>Lines of an ascii STL file, of which those that say vertex are corners.</summary>
internal sealed class StlLines(ByteFeed feed) : LinePieces(feed, null)
{
    private volatile bool _closed;

    /// <summary>True where a solid was ended.</summary>
    public bool IsClosed => _closed;

    /// <summary>Lines read.</summary>
    public int Lines { get; private set; }

    protected override ScanFormatException TooLong => new("a line of more than a megabyte", "lines of text", "This is not an ascii STL file; give the scan itself.", 1);

    protected override bool Line(ReadOnlySpan<byte> line, int number, BlockWriter writer, out ScanFormatException? fault)
    {
        fault = null;
        line = line.Trim(" \t"u8);
        if (line.StartsWith("endsolid"u8)) _closed = true;
        if (!line.StartsWith("vertex"u8)) return true;
        ReadOnlySpan<byte> rest = line[6..];
        Span<double> v = stackalloc double[3];
        int k = 0;
        foreach (Range range in rest.SplitAny(" \t"u8))
        {
            if (rest[range].IsEmpty) continue;
            if (k < 3 && FastNumber.TryRead(rest[range], false, out v[k])) k++;
            else fault = Wrong(line, number);
        }
        if (k != 3) fault = Wrong(line, number);
        if (fault is null) writer.Add(v[0], v[1], v[2]);
        return true;

        static ScanFormatException Wrong(ReadOnlySpan<byte> line, int number) =>
            new(Encoding.UTF8.GetString(line[..Math.Min(100, line.Length)]), "vertex and three numbers", "Mend the line, or export the file again.", number);
    }

    protected override void Passed(Chunk chunk)
    {
        if (chunk.Fault is not null) throw chunk.Fault.After(Lines);
        Lines += chunk.Lines;
    }
}
