using GapFlush.Inputs;

namespace GapFlush.Scans;

/// <summary>Reads the points of a scan file in one pass and bounded memory: PLY, STL, E57 or delimited text, told apart by content.</summary>
/// <remarks>
/// <para>Points come in the file's own unit and axes; those that are not finite, or marked invalid by the file, are left out and counted.</para>
/// <para>Refused with what was expected: cut files, wrong counts, damaged headers or pages, no points. Nothing is ever allocated by a number that a file claims.</para>
/// <para>Source: G. Turk, "The PLY Polygon File Format" (1994); ASTM E2807 [both from memory].</para>
/// </remarks>
public static class ScanReader
{
    /// <summary>Reads a file.</summary>
    /// <param name="file">The file.</param>
    /// <param name="sink">Takes the points, block by block, in file order.</param>
    public static Outcome<ScanFacts> Read(InputFile file, PointBlock sink) => Read(file, new PlainSieve(sink), threads: 1);

    /// <summary>Reads a file on as many threads as there are processors, where its format lets it be cut into pieces.</summary>
    internal static Outcome<ScanFacts> Read(InputFile file, IPointSieve sieve) => Read(file, sieve, Math.Clamp(Environment.ProcessorCount, 1, MostThreads));

    // Beyond, threads wait for the disk and only cost memory.
    private const int MostThreads = 8;

    private static Outcome<ScanFacts> Read(InputFile file, IPointSieve sieve, int threads)
    {
        List<string> notices = [];
        BlockWriter writer = new(sieve.NewTray());
        using Stream stream = file.Open();
        long? length = stream.CanSeek ? stream.Length : null;
        try
        {
            ByteFeed feed = new(stream);
            feed.Need(512);
            ReadOnlySpan<byte> head = feed.Ready;
            if (head.IsEmpty) throw new ScanFormatException("", "a scan", "The file is empty; give the file that was meant.");
            bool metre = false, repeats = false;
            string format;
            if (head.StartsWith("ply\n"u8) || head.StartsWith("ply\r"u8)) format = PlyScan.Read(feed, length, writer, sieve, threads);
            else if (head.StartsWith("ASTM-E57"u8))
            {
                if (!stream.CanSeek) throw new ScanFormatException("a stream", "a file on disk", "E57 files are read from several places; save it to disk first.");
                format = E57Scan.Read(stream, writer, sieve, threads, notices);
                metre = true;
            }
            else if (IsBinaryStl(head, length))
            {
                format = StlScan.Binary(feed, length, writer, sieve, threads);
                repeats = true;
            }
            else if (head.StartsWith("solid"u8) && head.IndexOf("facet"u8) >= 0)
            {
                format = StlScan.Text(feed, writer, sieve, threads);
                repeats = true;
            }
            else
            {
                format = TextScan.Read(feed, writer, sieve, threads, notices);
            }
            writer.HandOver();
            if (writer.Points == 0)
                throw new ScanFormatException(writer.LeftOut > 0 ? Invariant($"{writer.LeftOut} points, none of them with finite coordinates") : "no points", "points", "Export the scan again.");
            if (writer.LeftOut > 0) notices.Add(Invariant($"{writer.LeftOut} points without finite coordinates, or marked invalid, were left out."));
            return Outcome<ScanFacts>.Of(new(format, writer.Points, writer.LeftOut, metre, repeats, notices), [.. notices.Select(n => $"{file.Name}: {n}")]);
        }
        catch (ScanFormatException wrong)
        {
            return Outcome<ScanFacts>.Refused([wrong.For(file.Name)]);
        }
    }

    // A binary STL has no mark of its own: its header's count must agree with its size (or, cut short, the header must be no text).
    private static bool IsBinaryStl(ReadOnlySpan<byte> head, long? length)
    {
        if (head.Length < 84 || length is not long bytes) return false;
        uint count = System.Buffers.Binary.BinaryPrimitives.ReadUInt32LittleEndian(head[80..]);
        if (bytes == 84 + 50L * count && count > 0) return true;
        bool binary = head.IndexOfAnyInRange((byte)0, (byte)8) >= 0;
        return binary && count > 0 && head[..80].IndexOfAnyInRange((byte)1, (byte)8) < 0 && bytes < 84 + 50L * count && count < 1_000_000_000;
    }
}
