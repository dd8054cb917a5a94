using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using GapFlush.Inputs;

namespace GapFlush.Scans;

/// <summary>What the start of a scan file tells of it before it is read.</summary>
/// <param name="IsMetre">True where the format fixes the metre.</param>
/// <param name="IsQuick">True where it is as quick to read as to remember.</param>
/// <param name="Points">About how many points it holds: rather too few than too many, because a sample that expects too many keeps too few; 0 where nobody knows.</param>
/// <param name="RepeatsPoints">True where points shared by triangles come once for each (STL).</param>
internal readonly record struct ScanGuess(bool IsMetre, bool IsQuick, long Points, bool RepeatsPoints = false)
{
    // Three doubles, intensity, colour, row and column.
    private const int MostBytesOfE57Point = 40;

    /// <summary>Looks at the first bytes of a file.</summary>
    public static ScanGuess Of(InputFile scan)
    {
        using Stream stream = scan.Open();
        byte[] head = new byte[4096];
        int got = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        ReadOnlySpan<byte> seen = head.AsSpan(0, got);
        long length = stream.CanSeek ? stream.Length : 0;
        if (seen.StartsWith("ASTM-E57"u8)) return new(true, false, length / MostBytesOfE57Point);
        if (seen.StartsWith("ply"u8)) return new(false, seen.IndexOf("format binary"u8) >= 0, Vertices(seen, length));
        if (got >= 84 && length == 84 + 50L * BinaryPrimitives.ReadUInt32LittleEndian(seen[80..])) return new(false, false, 3 * ((length - 84) / 50), true);
        long lines = Lines(seen, length);
        // Seven lines a triangle, three of them corners.
        return seen.StartsWith("solid"u8) ? new(false, false, 3 * lines / 7, true) : new(false, false, lines);
    }

    // As the header says, as far as the file can hold them.
    private static long Vertices(ReadOnlySpan<byte> seen, long length)
    {
        int at = seen.IndexOf("element vertex "u8);
        if (at < 0) return 0;
        ReadOnlySpan<byte> rest = seen[(at + 15)..];
        int end = rest.IndexOfAny((byte)'\n', (byte)'\r');
        return end > 0 && long.TryParse(Encoding.Latin1.GetString(rest[..end]), NumberStyles.Integer, CultureInfo.InvariantCulture, out long count) && count > 0 ? Math.Min(count, length) : 0;
    }

    // By the bytes of a line, from the second on, since the first may be a header.
    private static long Lines(ReadOnlySpan<byte> seen, long length)
    {
        int lines = seen.Count((byte)'\n'), first = seen.IndexOf((byte)'\n'), last = seen.LastIndexOf((byte)'\n');
        return lines > 9 ? length * (lines - 1) / (last - first) : 0;
    }
}
