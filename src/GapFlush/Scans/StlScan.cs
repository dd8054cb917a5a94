using System.Buffers.Binary;

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

    public static string Text(ByteFeed feed, BlockWriter writer, IPointSieve sieve, int threads)
    {
        StlLines lines = new(feed);
        lines.Run(sieve, threads, writer);
        if (!lines.IsClosed) throw new ScanFormatException("the end of the file", "endsolid after the last triangle", "The file is cut short; export it again.", lines.Lines);
        return "STL, ascii";
    }
}
