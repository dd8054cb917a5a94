using System.Text;

namespace GapFlush.Scans;

/// <summary>Rows of an ascii PLY file whose vertices start with x, y and z, cut into pieces at line ends. Empty lines are no rows.</summary>
internal sealed class PlyLines(ByteFeed feed, long count, int properties) : PointChunks
{
    private const int BytesInPiece = 1 << 20;
    private static readonly TextLayout Layout = new((byte)' ', Comma: false, (0, 1, 2));

    private byte[] _carried = [];
    private long _rows, _passed;
    private bool _ended;

    public override int Capacity => BytesInPiece;

    protected override bool Next(Chunk chunk)
    {
        if (_ended || _rows == count) return false;
        _carried.CopyTo(chunk.Bytes, 0);
        int length = _carried.Length + feed.TakeInto(chunk.Bytes.AsSpan(_carried.Length)), at = 0;
        _ended = length < chunk.Bytes.Length;
        ReadOnlySpan<byte> bytes = chunk.Bytes.AsSpan(0, length);
        while (at < length && _rows < count)
        {
            int end = bytes[at..].IndexOfAny((byte)'\n', (byte)'\r');
            if (end < 0)
            {
                if (!_ended) break;
                end = length - at;
            }
            if (!bytes.Slice(at, end).Trim(" \t"u8).IsEmpty) _rows++;
            at += Math.Min(end + 1, length - at);
        }
        if (at == 0 && !_ended)
        {
            _ended = true;
            chunk.Fault = new("a line of more than a megabyte", "lines with a vertex each", "The file is damaged; export it again.");
            return true;
        }
        chunk.Length = at;
        _carried = chunk.Bytes[at..length];
        // Told where it belongs: after the faults of the rows before it.
        if (_ended && _rows < count) chunk.Fault = PlyRows.CutShort("vertex", count, _rows);
        return at > 0 || chunk.Fault is not null;
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        ReadOnlySpan<byte> rest = chunk.Bytes.AsSpan(0, chunk.Length);
        int rows = 0;
        while (!rest.IsEmpty)
        {
            if (Layout.TryQuick(rest, out int taken, out double x, out double y, out double z))
            {
                rows++;
                rest = rest[taken..];
                writer.Add(x, y, z);
                continue;
            }
            int end = rest.IndexOfAny((byte)'\n', (byte)'\r');
            ReadOnlySpan<byte> line = (end < 0 ? rest : rest[..end]).Trim(" \t"u8);
            rest = end < 0 ? [] : rest[(end + 1)..];
            if (line.IsEmpty) continue;
            rows++;
            if (!Layout.TryRead(line, out x, out y, out z, out int wrong))
            {
                // The row within the piece, until its turn comes.
                chunk.Fault = wrong <= 2
                    ? new(Word(line, wrong), "a number", "Mend the row, or export the file again.", rows, "xyz"[wrong].ToString())
                    : new(Encoding.UTF8.GetString(line[..Math.Min(80, line.Length)]), Invariant($"{properties} numbers"), "A row is too short; mend it, or export the file again.", rows);
                return;
            }
            writer.Add(x, y, z);
        }
        chunk.Lines = rows;
    }

    protected override void Passed(Chunk chunk)
    {
        if (chunk.Fault is ScanFormatException { Line: > 0 } fault)
        {
            string row = Invariant($"vertex {_passed + fault.Line}");
            throw new ScanFormatException(fault.Found, fault.Expected, fault.Remedy, 0, fault.Column.Length > 0 ? $"{fault.Column} of {row}" : row);
        }
        if (chunk.Fault is not null) throw chunk.Fault;
        _passed += chunk.Lines;
    }

    private static string Word(ReadOnlySpan<byte> line, int which)
    {
        string[] words = Encoding.UTF8.GetString(line).Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries);
        return which < words.Length ? words[which] : "";
    }
}
