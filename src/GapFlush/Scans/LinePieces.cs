namespace GapFlush.Scans;

/// <summary>A text file in pieces that end with a line.</summary>
/// <param name="feed">The file, from the first line on that is to be looked at.</param>
/// <param name="quick">How lines are written that are plain points, to be read without a closer look; null where none are.</param>
internal abstract class LinePieces(ByteFeed feed, TextLayout? quick) : PointChunks
{
    private const int BytesInPiece = 1 << 20;

    // What stands behind the last line end of a piece belongs to the next.
    private byte[] _carried = [];

    public override int Capacity => BytesInPiece;

    /// <summary>How plain points are written, or null.</summary>
    protected TextLayout? Quick => quick;

    /// <summary>True once nothing is left to read.</summary>
    protected bool HasEnded { get; set; }

    /// <summary>Fills a piece up; fewer bytes than it has room for are the last.</summary>
    protected int Fill(Chunk chunk)
    {
        _carried.CopyTo(chunk.Bytes, 0);
        int length = _carried.Length + feed.TakeInto(chunk.Bytes.AsSpan(_carried.Length));
        HasEnded = length < chunk.Bytes.Length;
        return length;
    }

    /// <summary>Ends a piece and keeps what stands behind its end for the next.</summary>
    protected void Cut(Chunk chunk, int end, int length)
    {
        chunk.Length = end;
        _carried = chunk.Bytes[end..length];
    }

    protected override bool Next(Chunk chunk)
    {
        if (HasEnded) return false;
        int length = Fill(chunk);
        if (HasEnded)
        {
            chunk.Length = length;
            return length > 0;
        }
        // A lone return at the very end may have its line feed in the next piece: the empty line between is no point.
        int end = chunk.Bytes.AsSpan(0, length).LastIndexOf((byte)'\n');
        if (end < 0) end = chunk.Bytes.AsSpan(0, length).LastIndexOf((byte)'\r');
        if (end >= 0) Cut(chunk, end + 1, length);
        else
        {
            // Told where it belongs: after the faults of the lines before it.
            HasEnded = true;
            chunk.Fault = TooLong;
        }
        return true;
    }

    /// <summary>What to say of a line that is longer than a piece.</summary>
    protected abstract ScanFormatException TooLong { get; }

    /// <summary>Looks at one line. Several threads at once.</summary>
    /// <param name="line">The line, without its end.</param>
    /// <param name="number">Its number in the piece, from 1, among those that count.</param>
    /// <param name="writer">Takes its point.</param>
    /// <param name="fault">What is wrong with it, its line counted in the piece.</param>
    /// <returns>True where the line counts.</returns>
    protected abstract bool Line(ReadOnlySpan<byte> line, int number, BlockWriter writer, out ScanFormatException? fault);

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        ReadOnlySpan<byte> rest = chunk.Bytes.AsSpan(0, chunk.Length);
        int lines = 0;
        while (!rest.IsEmpty)
        {
            if (quick is not null && quick.TryQuick(rest, out int taken, out double x, out double y, out double z))
            {
                lines++;
                rest = rest[taken..];
                writer.Add(x, y, z);
                continue;
            }
            int end = rest.IndexOfAny((byte)'\n', (byte)'\r');
            ReadOnlySpan<byte> line = end < 0 ? rest : rest[..end];
            rest = end < 0 ? [] : rest[(end + (rest[end] == '\r' && end + 1 < rest.Length && rest[end + 1] == '\n' ? 2 : 1))..];
            if (Line(line, lines + 1, writer, out ScanFormatException? fault)) lines++;
            if (fault is null) continue;
            chunk.Fault = fault;
            return;
        }
        chunk.Lines = lines;
    }
}
