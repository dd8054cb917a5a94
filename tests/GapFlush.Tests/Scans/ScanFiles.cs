using System.Buffers.Binary;
using System.Text;
using GapFlush.Geometry;

namespace GapFlush.Tests.Scans;

/// <summary>Writes points in every format the readers take; the writers share nothing with the readers.</summary>
internal static class ScanFiles
{
    public static byte[] PlyAscii(IReadOnlyList<Point3> points, string end = "\n") =>
        Encoding.ASCII.GetBytes(string.Join(end, ["ply", "format ascii 1.0", "comment made", "element camera 1", "property float f", $"element vertex {points.Count}", "property uchar red", "property double y", "property double x", "property double z",
            "element face 0", "property list uchar int vertex_indices", "end_header", "0.5", .. points.Select(p => Invariant($"7 {p.Y:R} {p.X:R} {p.Z:R}")), ""]));

    /// <summary>As most programs write it: vertices first, x, y and z first, and triangles behind.</summary>
    public static byte[] PlyPlain(IReadOnlyList<Point3> points, string end = "\n") =>
        Encoding.ASCII.GetBytes(string.Join(end, ["ply", "format ascii 1.0", $"element vertex {points.Count}", "property double x", "property double y", "property double z", "property uchar red",
            "element face 1", "property list uchar int vertex_indices", "end_header", .. points.Select((p, i) => Invariant($"{(i % 1000 == 3 ? end : "")}{p.X:R} {p.Y:R} {p.Z:R} 7")), "3 0 1 2", ""]));

    public static byte[] PlyBinary(IReadOnlyList<Point3> points, bool big, bool wide)
    {
        MemoryStream s = new();
        string type = wide ? "double" : "float32";
        s.Write(Encoding.ASCII.GetBytes($"ply\r\nformat binary_{(big ? "big" : "little")}_endian 1.0\r\nelement strip 2\r\nproperty list uchar short index\r\nelement vertex {points.Count}\r\nproperty ushort i\r\nproperty {type} x\r\nproperty {type} y\r\nproperty {type} z\r\nend_header\r\n"));
        foreach (int n in new[] { 3, 0 })
        {
            s.WriteByte((byte)n);
            s.Write(new byte[2 * n]);
        }
        Span<byte> b = stackalloc byte[8];
        foreach (Point3 p in points)
        {
            s.Write([1, 2]);
            foreach (double v in new[] { p.X, p.Y, p.Z })
            {
                if (wide && big) BinaryPrimitives.WriteDoubleBigEndian(b, v);
                else if (wide) BinaryPrimitives.WriteDoubleLittleEndian(b, v);
                else if (big) BinaryPrimitives.WriteSingleBigEndian(b, (float)v);
                else BinaryPrimitives.WriteSingleLittleEndian(b, (float)v);
                s.Write(b[..(wide ? 8 : 4)]);
            }
        }
        return s.ToArray();
    }

    public static byte[] StlBinary(IReadOnlyList<Point3> points)
    {
        byte[] file = new byte[84 + 50 * (points.Count / 3)];
        BinaryPrimitives.WriteUInt32LittleEndian(file.AsSpan(80), (uint)(points.Count / 3));
        for (int i = 0; i < points.Count / 3 * 3; i++)
        {
            Span<byte> at = file.AsSpan(84 + 50 * (i / 3) + 12 + 12 * (i % 3));
            BinaryPrimitives.WriteSingleLittleEndian(at, (float)points[i].X);
            BinaryPrimitives.WriteSingleLittleEndian(at[4..], (float)points[i].Y);
            BinaryPrimitives.WriteSingleLittleEndian(at[8..], (float)points[i].Z);
        }
        return file;
    }

    public static byte[] StlText(IReadOnlyList<Point3> points)
    {
        StringBuilder s = new("solid made\n");
        for (int i = 0; i + 2 < points.Count; i += 3)
        {
            s.Append(" facet normal 0 0 1\n  outer loop\n");
            for (int k = 0; k < 3; k++) s.Append(Invariant($"   vertex {points[i + k].X:R} {points[i + k].Y:R} {points[i + k].Z:R}\n"));
            s.Append("  endloop\n endfacet\n");
        }
        return Encoding.ASCII.GetBytes(s.Append("endsolid made\n").ToString());
    }

    public static byte[] Text(IReadOnlyList<Point3> points, string separator, string? header, bool comma = false) =>
        Encoding.UTF8.GetBytes((header is null ? "" : header + "\r\n") + string.Concat(points.Select(p =>
        {
            string row = string.Join(separator, new[] { p.X, p.Y, p.Z }.Select(v => comma ? Invariant($"{v:R}").Replace('.', ',') : Invariant($"{v:R}")));
            return row + "\r\n";
        })));

    /// <summary>An E57 file: doubles, or scaled integers of 1 um, with a pose that the points are given after, and every seventh point marked invalid as an extra.</summary>
    public static byte[] E57(IReadOnlyList<Point3> points, bool scaled, (double W, double X, double Y, double Z) turn, Vector3 shift)
    {
        // Points as the scanner saw them: the pose undone.
        (double w, double x, double y, double z) = turn;
        RigidMotion pose = new(new(1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)), new(2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)), new(2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)), shift);
        List<(Point3 P, bool Bad)> rows = [];
        foreach (Point3 p in points)
        {
            rows.Add((pose.Inverse().Of(p), false));
            if (rows.Count % 7 == 0) rows.Add((default, true));
        }
        const long Low = -20_000_000, High = 20_000_000;   // +-20 m in um: 26 bits
        List<byte> logical = [.. new byte[48]];
        int sectionAt = logical.Count;
        logical.AddRange(new byte[32]);
        int dataAt = logical.Count;
        BitStream[] streams = [new(), new(), new(), new()];
        int from = 0;
        int[] taken = new int[4];
        while (from < rows.Count)
        {
            // Uneven packets, so that values straddle them.
            int upTo = Math.Min(rows.Count, from + 333);
            for (; from < upTo; from++)
            {
                double[] v = [rows[from].P.X, rows[from].P.Y, rows[from].P.Z];
                for (int k = 0; k < 3; k++)
                {
                    if (scaled) streams[k].Add((ulong)((long)Math.Round(v[k] * 1e6) - Low), 26);
                    else streams[k].Add(BitConverter.DoubleToUInt64Bits(v[k]), 64);
                }
                streams[3].Add(rows[from].Bad ? 2UL : 0, 2);
            }
            bool last = from == rows.Count;
            int[] sizes = [.. streams.Select((s, k) => (last ? s.BytesWhole : s.BytesDone) - taken[k])];
            int size = (6 + 8 + sizes.Sum() + 3) / 4 * 4, start = logical.Count;
            logical.AddRange([1, 0, (byte)((size - 1) & 255), (byte)((size - 1) >> 8), 4, 0]);
            foreach (int n in sizes) logical.AddRange([(byte)(n & 255), (byte)(n >> 8)]);
            for (int k = 0; k < 4; k++)
            {
                logical.AddRange(streams[k].Slice(taken[k], sizes[k]));
                taken[k] += sizes[k];
            }
            while (logical.Count < start + size) logical.Add(0);
        }
        string field(string name) => scaled ? Invariant($"<{name} type=\"ScaledInteger\" minimum=\"{Low}\" maximum=\"{High}\" scale=\"1e-6\"/>") : $"<{name} type=\"Float\"/>";
        string xml = "<?xml version=\"1.0\"?><e57Root type=\"Structure\" xmlns=\"http://www.astm.org/COMMIT/E57/2010-e57-v1.0\"><data3D type=\"Vector\"><vectorChild type=\"Structure\">"
            + Invariant($"<pose type=\"Structure\"><rotation type=\"Structure\"><w type=\"Float\">{w:R}</w><x type=\"Float\">{x:R}</x><y type=\"Float\">{y:R}</y><z type=\"Float\">{z:R}</z></rotation><translation type=\"Structure\"><x type=\"Float\">{shift.X:R}</x><y type=\"Float\">{shift.Y:R}</y><z type=\"Float\">{shift.Z:R}</z></translation></pose>")
            + Invariant($"<points type=\"CompressedVector\" fileOffset=\"{Physical(sectionAt)}\" recordCount=\"{rows.Count}\"><prototype type=\"Structure\">{field("cartesianX")}{field("cartesianY")}{field("cartesianZ")}<cartesianInvalidState type=\"Integer\" minimum=\"0\" maximum=\"2\"/></prototype></points></vectorChild></data3D></e57Root>");
        int xmlAt = logical.Count;
        byte[] xmlBytes = Encoding.UTF8.GetBytes(xml);
        logical.AddRange(xmlBytes);
        byte[] bytes = [.. logical];
        bytes[sectionAt] = 1;
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(sectionAt + 8), (ulong)(xmlAt - sectionAt));
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(sectionAt + 16), (ulong)Physical(dataAt));
        int pages = (bytes.Length + 1019) / 1020;
        "ASTM-E57"u8.CopyTo(bytes);
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(8), 1);
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(16), (ulong)pages * 1024);
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(24), (ulong)Physical(xmlAt));
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(32), (ulong)xmlBytes.Length);
        BinaryPrimitives.WriteUInt64LittleEndian(bytes.AsSpan(40), 1024);
        byte[] file = new byte[1024 * pages];
        for (int i = 0; i < pages; i++)
        {
            bytes.AsSpan(1020 * i, Math.Min(1020, bytes.Length - 1020 * i)).CopyTo(file.AsSpan(1024 * i));
            BinaryPrimitives.WriteUInt32BigEndian(file.AsSpan(1024 * i + 1020), Crc(file.AsSpan(1024 * i, 1020)));
        }
        return file;

        static long Physical(long at) => at / 1020 * 1024 + at % 1020;
    }

    /// <summary>Makes the checksums of all whole pages agree with what the pages hold.</summary>
    public static void MendPages(byte[] file)
    {
        for (int at = 0; at + 1024 <= file.Length; at += 1024) BinaryPrimitives.WriteUInt32BigEndian(file.AsSpan(at + 1020), Crc(file.AsSpan(at, 1020)));
    }

    // CRC-32C bit by bit, as the definition has it.
    private static uint Crc(ReadOnlySpan<byte> data)
    {
        uint crc = uint.MaxValue;
        foreach (byte b in data)
        {
            crc ^= b;
            for (int k = 0; k < 8; k++) crc = (crc >> 1) ^ ((crc & 1) != 0 ? 0x82F63B78 : 0);
        }
        return ~crc;
    }

    private sealed class BitStream
    {
        private readonly List<byte> _bytes = [];
        private int _bits;

        public int BytesDone => _bits / 8;

        public int BytesWhole => (_bits + 7) / 8;

        public void Add(ulong value, int bits)
        {
            for (int i = 0; i < bits; i++, _bits++)
            {
                if (_bits % 8 == 0) _bytes.Add(0);
                if ((value >> i & 1) != 0) _bytes[_bits / 8] |= (byte)(1 << (_bits % 8));
            }
        }

        public IEnumerable<byte> Slice(int from, int count) => _bytes.Skip(from).Take(count);
    }
}
