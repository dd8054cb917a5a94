using System.Text;

namespace GapFlush.Scans;

/// <summary>Rows of an ascii PLY file whose vertices start with x, y and z. Empty lines are no rows.</summary>
internal sealed class PlyLines(ByteFeed feed, long count, int properties) : LinePieces(feed, Layout)
{
    private static readonly TextLayout Layout = new((byte)' ', Comma: false, (0, 1, 2));

    private long _rows, _passed;

    protected override ScanFormatException TooLong => new("a line of more than a megabyte", "lines with a vertex each", "The file is damaged; export it again.");

    // No farther than the rows of the header: behind them come those of other elements.
    protected override bool Next(Chunk chunk)
    {
        if (HasEnded || _rows == count) return false;
        int length = Fill(chunk), at = 0;
        ReadOnlySpan<byte> bytes = chunk.Bytes.AsSpan(0, length);
        while (at < length && _rows < count)
        {
            int end = bytes[at..].IndexOfAny((byte)'\n', (byte)'\r');
            if (end < 0)
            {
                if (!HasEnded) break;
                end = length - at;
            }
            if (!bytes.Slice(at, end).Trim(" \t"u8).IsEmpty) _rows++;
            at += Math.Min(end + 1, length - at);
        }
        // Told where they belong: after the faults of the rows before.
        if (at == 0 && !HasEnded) (HasEnded, chunk.Fault) = (true, TooLong);
        else if (HasEnded && _rows < count) chunk.Fault = PlyRows.CutShort("vertex", count, _rows);
        Cut(chunk, at, length);
        return at > 0 || chunk.Fault is not null;
    }

    protected override bool Line(ReadOnlySpan<byte> line, int number, BlockWriter writer, out ScanFormatException? fault)
    {
        fault = null;
        line = line.Trim(" \t"u8);
        if (line.IsEmpty) return false;
        if (Layout.TryRead(line, out double x, out double y, out double z, out int wrong)) writer.Add(x, y, z);
        else
        {
            // The row within the piece, until its turn comes.
            fault = wrong <= 2
                ? new(Word(line, wrong), "a number", "Mend the row, or export the file again.", number, "xyz"[wrong].ToString())
                : new(Encoding.UTF8.GetString(line[..Math.Min(80, line.Length)]), Invariant($"{properties} numbers"), "A row is too short; mend it, or export the file again.", number);
        }
        return true;
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
