using System.Runtime.CompilerServices;
using System.Text;

namespace GapFlush.Scans;

/// <summary>How the lines of a text file are written: separator, decimal mark, and which fields are x, y and z.</summary>
internal sealed record TextLayout(byte Separator, bool Comma, (int X, int Y, int Z) At)
{
    private int Last => Math.Max(At.X, Math.Max(At.Y, At.Z));

    public string SeparatorName => Separator switch { (byte)',' => "comma", (byte)';' => "semicolon", (byte)'\t' => "tab", _ => "space" };

    /// <summary>True for empty lines and remarks.</summary>
    public static bool IsNoPoint(ReadOnlySpan<byte> line) => line.IsEmpty || line[0] == '#' || line.StartsWith("//"u8);

    public ScanFormatException Wrong(ReadOnlySpan<byte> line, int wrong, int number) => new(Encoding.UTF8.GetString(line[..Math.Min(line.Length, 100)]),
        wrong > Last ? Invariant($"at least {Last + 1} numbers separated by {SeparatorName}") : Invariant($"a number as field {wrong + 1}"), "Mend the line, or take it out.", number);

    /// <summary>Reads a line that starts with three plain numbers, as nearly all do; false where a closer look is needed.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]   // compiled ahead it would call for every piece of a number that is built into it here
    public bool TryQuick(ReadOnlySpan<byte> rest, out int taken, out double x, out double y, out double z)
    {
        (taken, x, y, z) = (0, 0, 0, 0);
        if (At != (0, 1, 2)) return false;
        byte mark = Comma ? (byte)',' : (byte)'.';
        int i = 0;
        byte separator = Separator;
        if (!Short(rest, ref i, mark, out x) || rest[i++] != separator || !Short(rest, ref i, mark, out y) || rest[i++] != separator || !Short(rest, ref i, mark, out z)) return false;
        if (rest[i] == separator)
        {
            // Fields behind the third bear on nothing.
            int end = rest[i..].IndexOfAny((byte)'\n', (byte)'\r');
            if (end < 0) return false;
            i += end;
        }
        if (rest[i] == '\r')
        {
            if (i + 1 >= rest.Length) return false;
            if (rest[i + 1] == '\n') i++;
        }
        else if (rest[i] != '\n') return false;
        taken = i + 1;
        return true;
    }

    /// <summary>Reads x, y and z of a line.</summary>
    /// <param name="line">The line, without its end.</param>
    /// <param name="x">First coordinate.</param>
    /// <param name="y">Second coordinate.</param>
    /// <param name="z">Third coordinate.</param>
    /// <param name="wrong">The field that is no number, from 0; beyond the last where the line is too short.</param>
    public bool TryRead(ReadOnlySpan<byte> line, out double x, out double y, out double z, out int wrong)
    {
        (x, y, z) = (0, 0, 0);
        int field = 0, seen = 0;
        while (true)
        {
            if (Separator == ' ')
            {
                int skip = 0;
                while (skip < line.Length && line[skip] is (byte)' ' or (byte)'\t') skip++;
                line = line[skip..];
                if (line.IsEmpty) break;
            }
            int end = Separator == ' ' ? line.IndexOfAny((byte)' ', (byte)'\t') : line.IndexOf(Separator);
            ReadOnlySpan<byte> text = end < 0 ? line : line[..end];
            if (field == At.X || field == At.Y || field == At.Z)
            {
                if (Separator != ' ') text = text.Trim((byte)' ');
                if (!FastNumber.TryRead(text, Comma, out double value))
                {
                    wrong = field;
                    return false;
                }
                if (field == At.X) x = value;
                else if (field == At.Y) y = value;
                else z = value;
                if (++seen == 3)
                {
                    wrong = -1;
                    return true;
                }
            }
            field++;
            if (end < 0) break;
            line = line[(end + 1)..];
        }
        wrong = int.MaxValue;
        return false;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool Short(ReadOnlySpan<byte> text, ref int at, byte mark, out double value) => FastNumber.TryShort(text, ref at, mark, out value) || Number(text, ref at, mark, out value);

    // A plain number of up to fifteen digits, with something behind it.
    [MethodImpl(MethodImplOptions.NoInlining)]
    private static bool Number(ReadOnlySpan<byte> text, ref int at, byte mark, out double value)
    {
        value = 0;
        int i = at;
        if (i >= text.Length) return false;
        bool negative = text[i] == '-';
        if (negative) i++;
        int start = i;
        long mantissa = 0;
        uint d;
        while (i < text.Length && (d = (uint)(text[i] - '0')) <= 9)
        {
            mantissa = mantissa * 10 + d;
            i++;
        }
        int digits = i - start, decimals = 0;
        if (i < text.Length && text[i] == mark)
        {
            int from = ++i;
            while (i < text.Length && (d = (uint)(text[i] - '0')) <= 9)
            {
                mantissa = mantissa * 10 + d;
                i++;
            }
            decimals = i - from;
        }
        if (digits + decimals is 0 or > 15 || i >= text.Length) return false;
        value = FastNumber.Exact(mantissa, decimals);
        if (negative) value = -value;
        at = i;
        return true;
    }
}
