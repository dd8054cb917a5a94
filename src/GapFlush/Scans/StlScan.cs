using System.Buffers.Binary;
using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads the corners of STL triangles, both kinds.</summary>
internal static class StlScan
{
    private const int Header = 84;

    public static string Binary(ByteFeed feed, long? length, BlockWriter writer, IPointSieve sieve, int threads)
    {
        if (!feed.Need(Header)) throw new ScanFormatException("a file of fewer than 84 bytes", "a binary STL header", "The file is cut short; export it again.");
        uint count = BinaryPrimitives.ReadUInt32LittleEndian(feed.Ready[80..]);
        if (length is long bytes && bytes < Header + (long)StlFacets.Bytes * count) throw CutShort((bytes - Header) / StlFacets.Bytes, count);
        feed.Take(Header);
        new StlFacets(feed, count).Run(sieve, threads, writer);
        return "STL, binary";
    }

    public static ScanFormatException CutShort(long whole, uint count) =>
        new(Invariant($"{whole} whole triangles"), Invariant($"{count} triangles, as the header says"), "The file is cut short; export it again.");

    public static string Text(ByteFeed feed, BlockWriter writer)
    {
        TextLines lines = new(feed);
        bool ended = false;
        Span<double> v = stackalloc double[3];
        while (lines.Next(out ReadOnlySpan<byte> line))
        {
            line = line.Trim(" \t"u8);
            if (line.StartsWith("endsolid"u8)) ended = true;
            if (!line.StartsWith("vertex"u8)) continue;
            ReadOnlySpan<byte> rest = line[6..];
            int k = 0;
            foreach (Range range in rest.SplitAny(" \t"u8))
            {
                if (rest[range].IsEmpty) continue;
                if (k >= 3 || !FastNumber.TryRead(rest[range], false, out v[k])) throw Wrong(line, lines.Number);
                k++;
            }
            if (k != 3) throw Wrong(line, lines.Number);
            writer.Add(v[0], v[1], v[2]);
        }
        if (!ended) throw new ScanFormatException("the end of the file", "endsolid after the last triangle", "The file is cut short; export it again.", lines.Number);
        return "STL, ascii";

        static ScanFormatException Wrong(ReadOnlySpan<byte> line, int number) => new(Encoding.UTF8.GetString(line), "vertex and three numbers", "Mend the line, or export the file again.", number);
    }
}
