namespace GapFlush.Scans;

/// <summary>Lines of points in pieces that end with a line, once the first lines have told how they are written.</summary>
internal sealed class TextChunks(ByteFeed feed, TextLayout layout, int linesBefore) : PointChunks
{
    private const int BytesInPiece = 1 << 20;
    private byte[] _carried = [];
    private int _lines = linesBefore;
    private bool _ended;

    public override int Capacity => BytesInPiece;

    /// <summary>True where the last line has no end, as in a file that was cut short.</summary>
    public bool EndsOpen { get; private set; }

    protected override bool Next(Chunk chunk)
    {
        if (_ended) return false;
        _carried.CopyTo(chunk.Bytes, 0);
        int length = _carried.Length + feed.TakeInto(chunk.Bytes.AsSpan(_carried.Length));
        if (length < chunk.Bytes.Length)
        {
            _ended = true;
            chunk.Length = length;
            EndsOpen = length > 0 && chunk.Bytes[length - 1] is not ((byte)'\n' or (byte)'\r');
            return length > 0;
        }
        // A lone return at the very end may have its line feed in the next piece: the empty line between is no point.
        int end = chunk.Bytes.AsSpan(0, length).LastIndexOf((byte)'\n');
        if (end < 0) end = chunk.Bytes.AsSpan(0, length).LastIndexOf((byte)'\r');
        if (end < 0)
        {
            // Told where it belongs: after the faults of the lines before it.
            _ended = true;
            chunk.Fault = new("a line of more than a megabyte", "lines of text with a point each", "This is not a text file of points; give the scan itself.", 1);
            return true;
        }
        chunk.Length = end + 1;
        _carried = chunk.Bytes[(end + 1)..length];
        return true;
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        if (chunk.Fault is not null) return;
        ReadOnlySpan<byte> rest = chunk.Bytes.AsSpan(0, chunk.Length);
        int lines = 0;
        while (!rest.IsEmpty)
        {
            if (layout.TryQuick(rest, out int taken, out double x, out double y, out double z))
            {
                lines++;
                rest = rest[taken..];
                writer.Add(x, y, z);
                continue;
            }
            int end = rest.IndexOfAny((byte)'\n', (byte)'\r');
            ReadOnlySpan<byte> line = end < 0 ? rest : rest[..end];
            rest = end < 0 ? [] : rest[(end + (rest[end] == '\r' && end + 1 < rest.Length && rest[end + 1] == '\n' ? 2 : 1))..];
            lines++;
            line = line.Trim((byte)' ');
            if (TextLayout.IsNoPoint(line)) continue;
            if (!layout.TryRead(line, out x, out y, out z, out int wrong))
            {
                chunk.Fault = layout.Wrong(line, wrong, lines);
                return;
            }
            writer.Add(x, y, z);
        }
        chunk.Lines = lines;
    }

    protected override void Passed(Chunk chunk)
    {
        if (chunk.Fault is ScanFormatException fault) throw new ScanFormatException(fault.Found, fault.Expected, fault.Remedy, _lines + fault.Line, fault.Column);
        _lines += chunk.Lines;
    }
}
