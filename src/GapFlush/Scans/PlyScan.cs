using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads the vertices of a PLY file: ascii and binary of either byte order, any elements and properties in any order.</summary>
internal static class PlyScan
{
    private const string Expected = "a PLY header of lines format, element and property, closed by end_header";

    private sealed record Property(string Name, string Type, string? CountType);

    private sealed record Element(string Name, long Count, List<Property> Properties);

    public static string Read(ByteFeed feed, long? length, BlockWriter writer, IPointSieve sieve, int threads)
    {
        (string format, List<Element> elements) = Header(feed);
        int at = elements.FindIndex(e => e.Name == "vertex");
        if (at < 0) throw new ScanFormatException("a header without it", "an element named vertex", "The file holds no points; export the points of the scan.");
        Element vertex = elements[at];
        int x = Index("x"), y = Index("y"), z = Index("z");
        if (vertex.Count == 0) throw new ScanFormatException("element vertex 0", "points", "The file says of itself that it holds no points; export the scan again.");
        bool text = format == "ascii", big = format == "binary_big_endian";
        // Lists of other elements, or of this one, need every word looked at.
        if (text && at == 0 && (x, y, z) == (0, 1, 2) && !vertex.Properties.Exists(p => p.CountType is not null)) new PlyLines(feed, vertex.Count, vertex.Properties.Count).Run(sieve, threads, writer);
        else if (text) Ascii(feed, elements, at, x, y, z, writer);
        else Binary(feed, length, elements, at, (x, y, z), big, writer, sieve, threads);
        return format switch { "ascii" => "PLY, ascii", "binary_big_endian" => "PLY, binary big-endian", _ => "PLY, binary little-endian" };

        int Index(string name)
        {
            int i = vertex.Properties.FindIndex(p => p.Name == name);
            return i >= 0 && vertex.Properties[i].CountType is null ? i : throw new ScanFormatException(string.Join(", ", vertex.Properties.Select(p => p.Name)), $"a number {name} among the vertex properties", "Export the points with x, y and z.");
        }
    }

    private static (string Format, List<Element> Elements) Header(ByteFeed feed)
    {
        const int Longest = 65_536;
        string? format = null;
        List<Element> elements = [];
        for (int line = 1; ; line++)
        {
            int end;
            while ((end = feed.Ready.IndexOf((byte)'\n')) < 0)
            {
                // Old Macintosh line ends: a lone return.
                if (feed.Ready.Length > Longest || !feed.Fill()) throw new ScanFormatException("the end of the file, or no line end", Expected, "The file is cut short or no PLY file; export it again.", line);
            }
            if (feed.Taken > Longest) throw new ScanFormatException("a header of more than 65536 bytes", Expected, "The header is damaged; export the file again.", line);
            string text = Encoding.Latin1.GetString(feed.Ready[..Math.Min(end, 400)]).TrimEnd('\r').Trim();
            feed.Take(end + 1);
            string[] words = text.Split((char[])[' ', '\t'], StringSplitOptions.RemoveEmptyEntries);
            if (words.Length == 0) continue;
            switch (words[0])
            {
                case "ply" when line == 1:
                case "comment":
                case "obj_info":
                    break;
                case "format":
                    if (words.Length < 2 || words[1] is not ("ascii" or "binary_little_endian" or "binary_big_endian")) throw Wrong("format ascii, binary_little_endian or binary_big_endian");
                    format = words[1];
                    break;
                case "element":
                    if (words.Length < 3 || !long.TryParse(words[2], out long count) || count < 0) throw Wrong("element, a name and a count of zero or more");
                    if (elements.Count >= 100) throw Wrong("at most 100 elements");
                    elements.Add(new(words[1], count, []));
                    break;
                case "property":
                    if (elements.Count == 0) throw Wrong("an element before its properties");
                    bool list = words.Length > 1 && words[1] == "list";
                    if (words.Length < (list ? 5 : 3)) throw Wrong("property, a type and a name");
                    Property property = list ? new(words[4], words[3], words[2]) : new(words[2], words[1], null);
                    if (Size(property.Type) == 0 || (list && Size(property.CountType!) == 0)) throw Wrong("a type such as float, double, uchar or int");
                    elements[^1].Properties.Add(property);
                    break;
                case "end_header":
                    if (format is null) throw Wrong("a line format before the end of the header");
                    return (format, elements);
                default:
                    throw Wrong(Expected);
            }

            ScanFormatException Wrong(string expected) => new(text, expected, "The header is damaged or of another format; export the file again.", line);
        }
    }

    private static int Size(string type) => type switch
    {
        "char" or "int8" or "uchar" or "uint8" => 1,
        "short" or "int16" or "ushort" or "uint16" => 2,
        "int" or "int32" or "uint" or "uint32" or "float" or "float32" => 4,
        "double" or "float64" => 8,
        _ => 0,
    };

    private static void Ascii(ByteFeed feed, List<Element> elements, int at, int x, int y, int z, BlockWriter writer)
    {
        TextLines lines = new(feed);
        Span<double> values = stackalloc double[3];
        for (int e = 0; e <= at; e++)
        {
            bool lists = elements[e].Properties.Any(p => p.CountType is not null);
            for (long row = 0; row < elements[e].Count; row++)
            {
                ReadOnlySpan<byte> line;
                do
                {
                    if (!lines.Next(out line)) throw new ScanFormatException(Invariant($"the end of the file after {row}"), Invariant($"{elements[e].Count} rows of element {elements[e].Name}, as the header says"), "The file is cut short; export it again.");
                    line = line.Trim(" \t"u8);
                }
                while (line.IsEmpty);
                if (e < at) continue;
                int property = 0, got = 0;
                long skip = 0;
                foreach (Range range in line.SplitAny(" \t"u8))
                {
                    ReadOnlySpan<byte> word = line[range];
                    if (word.IsEmpty) continue;
                    if (skip > 0)
                    {
                        skip--;
                        continue;
                    }
                    if (property >= elements[e].Properties.Count) break;
                    bool list = lists && elements[e].Properties[property].CountType is not null;
                    int which = property == x ? 0 : property == y ? 1 : property == z ? 2 : -1;
                    if (list || which >= 0)
                    {
                        if (!FastNumber.TryRead(word, false, out double value)) throw new ScanFormatException(Encoding.UTF8.GetString(word), "a number", "Mend the row, or export the file again.", 0, Invariant($"{elements[e].Properties[property].Name} of vertex {row + 1}"));
                        if (list) skip = value is >= 0 and < 1e6 ? (long)value : 0;
                        else
                        {
                            values[which] = value;
                            got++;
                        }
                    }
                    property++;
                }
                if (got < 3) throw new ScanFormatException(Encoding.UTF8.GetString(line[..Math.Min(80, line.Length)]), Invariant($"{elements[e].Properties.Count} numbers"), "A row is too short; mend it, or export the file again.", 0, Invariant($"vertex {row + 1}"));
                writer.Add(values[0], values[1], values[2]);
            }
        }
    }

    private static void Binary(ByteFeed feed, long? length, List<Element> elements, int at, (int X, int Y, int Z) which, bool big, BlockWriter writer, IPointSieve sieve, int threads)
    {
        for (int e = 0; e <= at; e++)
        {
            Element element = elements[e];
            if (element.Properties.Exists(p => p.CountType is not null))
            {
                Lists(feed, element, e == at ? which : (-1, -1, -1), big, writer);
                continue;
            }
            int[] offset = new int[element.Properties.Count];
            int stride = 0;
            for (int i = 0; i < offset.Length; i++)
            {
                offset[i] = stride;
                stride += Size(element.Properties[i].Type);
            }
            if (stride == 0) continue;
            if (length is long bytes && (bytes - feed.Taken) / stride < element.Count)
                throw new ScanFormatException(Invariant($"{(bytes - feed.Taken) / stride} whole ones"), Invariant($"{element.Count} rows of element {element.Name}, as the header says"), "The file is cut short, or its header is wrong; export it again.");
            if (e < at)
            {
                for (long row = 0; row < element.Count;)
                {
                    if (!feed.Need(stride)) throw PlyRows.CutShort(element.Name, element.Count, row);
                    int rows = (int)Math.Min(element.Count - row, feed.Ready.Length / stride);
                    feed.Take(rows * stride);
                    row += rows;
                }
                continue;
            }
            PlyRows.Field Of(int i) => new(offset[i], PlyRows.KindOf(element.Properties[i].Type));
            new PlyRows(feed, element.Name, element.Count, stride, big, Of(which.X), Of(which.Y), Of(which.Z)).Run(sieve, threads, writer);
        }
    }

    private static void Lists(ByteFeed feed, Element element, (int X, int Y, int Z) at, bool big, BlockWriter writer)
    {
        for (long row = 0; row < element.Count; row++)
        {
            double x = 0, y = 0, z = 0;
            for (int i = 0; i < element.Properties.Count; i++)
            {
                Property property = element.Properties[i];
                int size = Size(property.Type);
                if (property.CountType is string counted)
                {
                    int head = Size(counted);
                    Must(head);
                    double count = PlyRows.Value(feed.Ready, PlyRows.KindOf(counted), big);
                    feed.Take(head);
                    if (!(count is >= 0 and <= int.MaxValue)) throw new ScanFormatException(Invariant($"a list of {count}"), "a list length of zero or more", "The file is damaged; export it again.", 0, Invariant($"{property.Name} of {element.Name} {row + 1}"));
                    for (long left = (long)count * size; left > 0;)
                    {
                        Must(1);
                        int step = (int)Math.Min(left, feed.Ready.Length);
                        feed.Take(step);
                        left -= step;
                    }
                    continue;
                }
                Must(size);
                double value = PlyRows.Value(feed.Ready, PlyRows.KindOf(property.Type), big);
                feed.Take(size);
                if (i == at.X) x = value;
                else if (i == at.Y) y = value;
                else if (i == at.Z) z = value;
            }
            if (at.X >= 0) writer.Add(x, y, z);

            void Must(int bytes)
            {
                if (!feed.Need(bytes)) throw PlyRows.CutShort(element.Name, element.Count, row);
            }
        }
    }
}
