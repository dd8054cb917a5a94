using System.Buffers.Binary;
using System.Numerics;

namespace GapFlush.Scans;

/// <summary>An E57 file without its page checksums, each of which is proved as it is read.</summary>
internal sealed class E57Pages(Stream stream, int size)
{
    private readonly byte[] _page = new byte[size];
    private long _number = -1;
    private int _at;

    private int Room => size - 4;

    /// <summary>Goes to a place counted with the checksums.</summary>
    public void Seek(long physical)
    {
        if (physical < 0 || physical >= stream.Length || physical % size >= Room) throw new ScanFormatException(Invariant($"a place {physical}"), Invariant($"a place inside the {stream.Length} bytes of the file"), E57Scan.Damaged);
        Load(physical / size);
        _at = (int)(physical % size);
    }

    public void Read(Span<byte> into)
    {
        while (!into.IsEmpty)
        {
            if (_at == Room) Load(_number + 1);
            int n = Math.Min(into.Length, Room - _at);
            _page.AsSpan(_at, n).CopyTo(into);
            _at += n;
            into = into[n..];
        }
    }

    public void Skip(int count)
    {
        while (count > 0)
        {
            if (_at == Room) Load(_number + 1);
            int n = Math.Min(count, Room - _at);
            _at += n;
            count -= n;
        }
    }

    private void Load(long number)
    {
        _at = 0;
        if (number == _number) return;
        stream.Position = number * size;
        if (stream.ReadAtLeast(_page, size, throwOnEndOfStream: false) < size) throw new ScanFormatException(Invariant($"the end of the file in page {number + 1}"), "a whole page", E57Scan.Damaged);
        uint crc = uint.MaxValue;
        ReadOnlySpan<byte> rest = _page.AsSpan(0, Room);
        for (; rest.Length >= 8; rest = rest[8..]) crc = BitOperations.Crc32C(crc, BinaryPrimitives.ReadUInt64LittleEndian(rest));
        for (; rest.Length > 0; rest = rest[1..]) crc = BitOperations.Crc32C(crc, rest[0]);
        if (~crc != BinaryPrimitives.ReadUInt32BigEndian(_page.AsSpan(Room)))
            throw new ScanFormatException(Invariant($"page {number + 1} with another checksum"), "a page that agrees with its checksum", E57Scan.Damaged);
        _number = number;
    }
}
