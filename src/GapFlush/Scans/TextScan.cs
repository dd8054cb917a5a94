using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads delimited text: x, y, z first, or named in a header. Separator, header and decimal mark are found by looking.</summary>
internal static class TextScan
{
    public static string Read(ByteFeed feed, BlockWriter writer, List<string> notices)
    {
        TextLines lines = new(feed);
        byte separator = 0;
        bool comma = false, begun = false;
        (int X, int Y, int Z) at = (0, 1, 2);
        int last = 2;
        while (lines.Next(out ReadOnlySpan<byte> line))
        {
            line = line.Trim((byte)' ');
            if (!begun && line.StartsWith("\uFEFF"u8)) line = line[3..];
            if (line.IsEmpty || line[0] == '#' || line.StartsWith("//"u8)) continue;
            if (!begun)
            {
                if (line.IndexOf((byte)0) >= 0) throw Foreign();
                separator = line.Contains((byte)';') ? (byte)';' : line.Contains((byte)'\t') ? (byte)'\t' : line.Contains((byte)',') && !LooksLikeDecimalCommas(line) ? (byte)',' : (byte)' ';
                // A lone count on the first line, as some scanners write it.
                if (separator == ' ' && long.TryParse(Encoding.ASCII.GetString(line), out long count))
                {
                    notices.Add(Invariant($"line {lines.Number} holds one number, {count}; it is taken as a count of points and left out."));
                    continue;
                }
                comma = separator != ',' && line.Contains((byte)',');
                begun = true;
                if (!Fields(line, separator, comma, at, out _, out _, out _, out _))
                {
                    string[] names = [.. Names(line, separator)];
                    at = (Array.IndexOf(names, "x"), Array.IndexOf(names, "y"), Array.IndexOf(names, "z"));
                    if (at.X < 0 || at.Y < 0 || at.Z < 0)
                        throw new ScanFormatException(Encoding.UTF8.GetString(line), "numbers x, y, z first on the line, or a header with columns named x, y and z", "Name the columns, or leave the header out and put x, y and z first.", lines.Number);
                    last = Math.Max(at.X, Math.Max(at.Y, at.Z));
                    notices.Add(Invariant($"text separated by {Name(separator)}; x, y, z are columns {at.X + 1}, {at.Y + 1}, {at.Z + 1} by their header. Found by looking."));
                    comma = false;
                    continue;
                }
                notices.Add(Invariant($"text separated by {Name(separator)}, no header, x, y, z first{(comma ? ", decimal comma" : "")}. Found by looking."));
            }
            if (!comma && separator != ',' && writer.Points == 0 && line.Contains((byte)',')) comma = true;
            if (!Fields(line, separator, comma, at, out double x, out double y, out double z, out int wrong))
            {
                throw new ScanFormatException(Encoding.UTF8.GetString(line[..Math.Min(line.Length, 100)]), wrong > last ? Invariant($"at least {last + 1} numbers separated by {Name(separator)}") : Invariant($"a number as field {wrong + 1}"),
                    "Mend the line, or take it out.", lines.Number);
            }
            writer.Add(x, y, z);
        }
        return "text";
    }

    private static ScanFormatException Foreign() => new("bytes that are neither text nor a known scan format", "a PLY, STL or E57 file, or delimited text", "Export the scan as one of these.");

    private static string Name(byte separator) => separator switch { (byte)',' => "comma", (byte)';' => "semicolon", (byte)'\t' => "tab", _ => "space" };

    // "1,5 2,5 3,5": commas that each sit in a field between spaces.
    private static bool LooksLikeDecimalCommas(ReadOnlySpan<byte> line)
    {
        int fields = 0;
        foreach (Range range in line.Split((byte)' '))
        {
            ReadOnlySpan<byte> field = line[range];
            if (field.IsEmpty) continue;
            if (field[^1] == ',' || !FastNumber.TryRead(field, true, out _)) return false;
            fields++;
        }
        return fields >= 3;
    }

    private static IEnumerable<string> Names(ReadOnlySpan<byte> line, byte separator)
    {
        string text = Encoding.UTF8.GetString(line);
        return text.Split((char)separator, separator == ' ' ? StringSplitOptions.RemoveEmptyEntries : StringSplitOptions.None).Select(n => n.Trim().Trim('"').ToLowerInvariant());
    }

    private static bool Fields(ReadOnlySpan<byte> line, byte separator, bool comma, (int X, int Y, int Z) at, out double x, out double y, out double z, out int wrong)
    {
        (x, y, z) = (0, 0, 0);
        int field = 0, seen = 0;
        while (true)
        {
            if (separator == ' ')
            {
                int skip = 0;
                while (skip < line.Length && line[skip] is (byte)' ' or (byte)'\t') skip++;
                line = line[skip..];
                if (line.IsEmpty) break;
            }
            int end = separator == ' ' ? line.IndexOfAny((byte)' ', (byte)'\t') : line.IndexOf(separator);
            ReadOnlySpan<byte> text = end < 0 ? line : line[..end];
            if (field == at.X || field == at.Y || field == at.Z)
            {
                if (separator != ' ') text = text.Trim((byte)' ');
                if (!FastNumber.TryRead(text, comma, out double value))
                {
                    wrong = field;
                    return false;
                }
                if (field == at.X) x = value;
                else if (field == at.Y) y = value;
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
}
