using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads delimited text: x, y, z first, or named in a header. Separator, header and decimal mark are found by looking at the first lines.</summary>
internal static class TextScan
{
    private const int LinesLookedAt = 10_000;

    public static string Read(ByteFeed feed, BlockWriter writer, IPointSieve sieve, int threads, List<string> notices)
    {
        TextLines lines = new(feed);
        TextLayout? layout = null;
        bool fresh = true;
        int seen = 0;
        while (lines.Next(out ReadOnlySpan<byte> line))
        {
            line = line.Trim((byte)' ');
            if (fresh && line.StartsWith("\uFEFF"u8)) line = line[3..];
            fresh = false;
            if (TextLayout.IsNoPoint(line)) continue;
            if (layout is null)
            {
                if (line.IndexOf((byte)0) >= 0) throw Foreign();
                byte separator = line.Contains((byte)';') ? (byte)';' : line.Contains((byte)'\t') ? (byte)'\t' : line.Contains((byte)',') && !LooksLikeDecimalCommas(line) ? (byte)',' : (byte)' ';
                // A lone count on the first line, as some scanners write it.
                if (separator == ' ' && long.TryParse(Encoding.ASCII.GetString(line), out long count))
                {
                    notices.Add(Invariant($"line {lines.Number} holds one number, {count}; it is taken as a count of points and left out."));
                    continue;
                }
                layout = new(separator, separator != ',' && line.Contains((byte)','), (0, 1, 2));
                if (!layout.TryRead(line, out _, out _, out _, out _))
                {
                    string[] names = [.. Names(line, separator)];
                    (int X, int Y, int Z) at = (Array.IndexOf(names, "x"), Array.IndexOf(names, "y"), Array.IndexOf(names, "z"));
                    if (at.X < 0 || at.Y < 0 || at.Z < 0)
                        throw new ScanFormatException(Encoding.UTF8.GetString(line), "numbers x, y, z first on the line, or a header with columns named x, y and z", "Name the columns, or leave the header out and put x, y and z first.", lines.Number);
                    notices.Add(Invariant($"text separated by {layout.SeparatorName}; x, y, z are columns {at.X + 1}, {at.Y + 1}, {at.Z + 1} by their header. Found by looking."));
                    layout = layout with { Comma = false, At = at };
                    continue;
                }
                notices.Add(Invariant($"text separated by {layout.SeparatorName}, no header, x, y, z first{(layout.Comma ? ", decimal comma" : "")}. Found by looking."));
            }
            if (!layout.Comma && layout.Separator != ',' && line.Contains((byte)',')) layout = layout with { Comma = true };
            if (!layout.TryRead(line, out double x, out double y, out double z, out int wrong)) throw layout.Wrong(line, wrong, lines.Number);
            long leftOut = writer.LeftOut;
            writer.Add(x, y, z);
            // A first point with decimals has told how the file is written, and all others are like it; whole numbers have not told the decimal mark.
            if (writer.LeftOut == leftOut && (++seen == LinesLookedAt || x != Math.Floor(x) || y != Math.Floor(y) || z != Math.Floor(z)))
            {
                lines.Leave();
                TextChunks rest = new(feed, layout, lines.Number);
                rest.Run(sieve, threads, writer);
                // Rows of text carry no count to be held to.
                if (rest.EndsOpen) notices.Add("the last line has no line end: if the file was cut short, points behind it are missing.");
                break;
            }
        }
        return "text";
    }

    private static ScanFormatException Foreign() => new("bytes that are neither text nor a known scan format", "a PLY, STL or E57 file, or delimited text", "Export the scan as one of these.");

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
}
