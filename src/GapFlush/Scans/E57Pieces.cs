using System.Buffers.Binary;

namespace GapFlush.Scans;

/// <summary>The points of one E57 scan in pieces: packets are taken apart in file order, their bits are turned into points on any thread.</summary>
internal sealed class E57Pieces(E57Pages pages, E57Field[] fields, long records) : PointChunks
{
    private const int BytesInPiece = 1 << 18;
    private const int PointsAtOnce = 1024;

    private readonly E57Stream[] _streams = [.. fields.Select(f => new E57Stream(f.Bits))];
    // A first and a last byte of every field are shared with its neighbours.
    private readonly int _most = (int)(8L * BytesInPiece / fields.Sum(f => (long)f.Bits));
    private readonly byte[] _packet = new byte[65_536];
    private long _done;

    /// <summary>Which fields are x, y and z, or range, azimuth and elevation.</summary>
    public required (int A, int B, int C) Coordinates { get; init; }

    /// <summary>True for range, azimuth and elevation.</summary>
    public required bool IsSpherical { get; init; }

    /// <summary>The field that marks points as invalid, or -1.</summary>
    public required int Invalid { get; init; }

    /// <summary>Unit quaternion of the scan's pose.</summary>
    public required (double W, double X, double Y, double Z) Turn { get; init; }

    /// <summary>Shift of the scan's pose.</summary>
    public required (double X, double Y, double Z) Shift { get; init; }

    public override int Capacity => BytesInPiece + 2 * fields.Length + E57Field.Beyond;

    protected override bool Next(Chunk chunk)
    {
        if (_done == records) return false;
        int values = (int)Math.Min(_most, records - _done), at = 0;
        while (Array.Exists(_streams, s => s.Ready < values)) Packet();
        int[] marks = chunk.Marks.Length == 2 * fields.Length ? chunk.Marks : new int[2 * fields.Length];
        for (int k = 0; k < fields.Length; k++)
        {
            marks[2 * k] = at;
            at += _streams[k].Give(values, chunk.Bytes.AsSpan(at), out marks[2 * k + 1]);
        }
        (chunk.Marks, chunk.Lines, chunk.Length) = (marks, values, at);
        _done += values;
        return true;
    }

    // Feeds the streams with the next packet of data; index packets and empty ones are passed over.
    private void Packet()
    {
        while (true)
        {
            pages.Read(_packet.AsSpan(0, 4));
            int size = BinaryPrimitives.ReadUInt16LittleEndian(_packet.AsSpan(2)) + 1;
            if (_packet[0] is 0 or 2)
            {
                pages.Skip(size - 4);
                continue;
            }
            if (_packet[0] != 1 || size < 6) throw new ScanFormatException(Invariant($"packet {_packet[0]} of {size} bytes after {_done} of {records} points"), "a data packet", E57Scan.Damaged);
            pages.Read(_packet.AsSpan(4, size - 4));
            int streams = BinaryPrimitives.ReadUInt16LittleEndian(_packet.AsSpan(4)), from = 6 + 2 * streams;
            if (streams != fields.Length || from > size) throw new ScanFormatException(Invariant($"{streams} streams"), Invariant($"{fields.Length} streams in a packet"), E57Scan.Damaged);
            for (int k = 0; k < streams; k++)
            {
                int bytes = BinaryPrimitives.ReadUInt16LittleEndian(_packet.AsSpan(6 + 2 * k));
                if (from + bytes > size) throw new ScanFormatException("streams longer than their packet", "streams inside their packet", E57Scan.Damaged);
                _streams[k].Feed(_packet.AsSpan(from, bytes));
                from += bytes;
            }
            return;
        }
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        Span<double> values = stackalloc double[4 * PointsAtOnce];
        Span<double> a = values[..PointsAtOnce], b = values.Slice(PointsAtOnce, PointsAtOnce), c = values.Slice(2 * PointsAtOnce, PointsAtOnce), marks = values[(3 * PointsAtOnce)..];
        for (int from = 0; from < chunk.Lines; from += PointsAtOnce)
        {
            int n = Math.Min(PointsAtOnce, chunk.Lines - from);
            Read(chunk, Coordinates.A, from, a[..n]);
            Read(chunk, Coordinates.B, from, b[..n]);
            Read(chunk, Coordinates.C, from, c[..n]);
            if (Invalid >= 0) Read(chunk, Invalid, from, marks[..n]);
            else marks.Clear();
            for (int i = 0; i < n; i++)
            {
                if (marks[i] != 0) writer.LeftOut++;
                else if (IsSpherical) Place(writer, a[i] * Math.Cos(c[i]) * Math.Cos(b[i]), a[i] * Math.Cos(c[i]) * Math.Sin(b[i]), a[i] * Math.Sin(c[i]));
                else Place(writer, a[i], b[i], c[i]);
            }
        }
    }

    private void Read(Chunk chunk, int field, int from, Span<double> into) =>
        fields[field].Read(chunk.Bytes.AsSpan(chunk.Marks[2 * field]), chunk.Marks[2 * field + 1] + (long)fields[field].Bits * from, into);

    private void Place(BlockWriter writer, double x, double y, double z)
    {
        // p + 2 q x (q x p + w p)
        ((double qw, double qx, double qy, double qz), (double tx, double ty, double tz)) = (Turn, Shift);
        double cx = qy * z - qz * y + qw * x, cy = qz * x - qx * z + qw * y, cz = qx * y - qy * x + qw * z;
        writer.Add(x + 2 * (qy * cz - qz * cy) + tx, y + 2 * (qz * cx - qx * cz) + ty, z + 2 * (qx * cy - qy * cx) + tz);
    }
}
