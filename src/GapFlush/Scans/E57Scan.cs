using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Xml;
using System.Xml.Linq;

namespace GapFlush.Scans;

/// <summary>Reads the points of an ASTM E2807 file: pages with checksums, compressed vectors of floats, scaled and plain integers, poses, and invalid-state flags.</summary>
internal static class E57Scan
{
    private const string Damaged = "The file is damaged or cut short; export it again.";

    public static string Read(Stream stream, BlockWriter writer, List<string> notices)
    {
        byte[] header = new byte[48];
        stream.Position = 0;
        if (stream.ReadAtLeast(header, 48, throwOnEndOfStream: false) < 48) throw new ScanFormatException("a file of fewer than 48 bytes", "an E57 header", Damaged);
        ulong length = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(16)), xmlAt = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(24)), xmlLength = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(32)), page = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(40));
        if (page is < 64 or > 1 << 20 || page % 4 != 0) throw new ScanFormatException(Invariant($"pages of {page} bytes"), "pages of 1024 bytes", Damaged);
        if (length > (ulong)stream.Length) throw new ScanFormatException(Invariant($"{stream.Length} bytes"), Invariant($"{length} bytes, as the header says"), Damaged);
        if (xmlAt >= (ulong)stream.Length || xmlLength is 0 or > 64 << 20 || xmlLength > (ulong)stream.Length) throw new ScanFormatException(Invariant($"a description of {xmlLength} bytes at {xmlAt}"), "a description inside the file", Damaged);
        Pages pages = new(stream, (int)page);
        pages.Seek((long)xmlAt);
        byte[] xml = new byte[xmlLength];
        pages.Read(xml);
        XElement root;
        try
        {
            using XmlReader reader = XmlReader.Create(new MemoryStream(xml), new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null, MaxCharactersInDocument = 64 << 20 });
            root = XElement.Load(reader);
        }
        catch (XmlException e)
        {
            throw new ScanFormatException(e.Message, "a description in XML", Damaged);
        }
        XElement[] scans = [.. root.Elements().Where(e => e.Name.LocalName == "data3D").Elements()];
        if (scans.Length == 0) throw new ScanFormatException("a description without them", "scans (data3D)", "The file holds no points; export the scan again.");
        if (scans.Length > 1) notices.Add(Invariant($"{scans.Length} scans, each with its own pose, were read together."));
        foreach (XElement scan in scans) One(pages, scan, writer);
        return "E57";
    }

    private static XElement? Child(XElement? parent, string name) => parent?.Elements().FirstOrDefault(e => e.Name.LocalName == name);

    private static double Number(XElement? element, double otherwise) =>
        element is null || element.Value.Trim().Length == 0 ? otherwise
        : double.TryParse(element.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) ? v : throw new ScanFormatException(element.Value, $"a number as {element.Name.LocalName}", Damaged);

    private static double Number(XElement element, string attribute, double otherwise) =>
        element.Attribute(attribute) is not XAttribute a ? otherwise
        : double.TryParse(a.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) ? v : throw new ScanFormatException(a.Value, $"a number as {attribute} of {element.Name.LocalName}", Damaged);

    private static long Whole(XElement element, string attribute, long otherwise) =>
        element.Attribute(attribute) is not XAttribute a ? otherwise
        : long.TryParse(a.Value, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long v) ? v : throw new ScanFormatException(a.Value, $"a whole number as {attribute} of {element.Name.LocalName}", Damaged);

    private static void One(Pages pages, XElement scan, BlockWriter writer)
    {
        XElement points = Child(scan, "points") ?? throw new ScanFormatException("a scan without them", "points", Damaged);
        long records = Whole(points, "recordCount", 0), at = Whole(points, "fileOffset", 0);
        if (records < 0) throw new ScanFormatException(Invariant($"{records} records"), "a count of zero or more", Damaged);
        if (records == 0) return;
        XElement[] fields = [.. Child(points, "prototype")?.Elements() ?? []];
        if (fields.Length is 0 or > 256) throw new ScanFormatException(Invariant($"{fields.Length} fields a point"), "1 to 256 fields a point", Damaged);
        Column[] columns = [.. fields.Select(f => new Column(f))];
        int Of(string name) => Array.FindIndex(fields, f => f.Name.LocalName == name);
        (int x, int y, int z) = (Of("cartesianX"), Of("cartesianY"), Of("cartesianZ"));
        (int range, int azimuth, int elevation) = (Of("sphericalRange"), Of("sphericalAzimuth"), Of("sphericalElevation"));
        bool spherical = x < 0 || y < 0 || z < 0;
        if (spherical && (range < 0 || azimuth < 0 || elevation < 0)) throw new ScanFormatException(string.Join(", ", fields.Select(f => f.Name.LocalName)), "cartesian or spherical coordinates", "Export the scan with coordinates.");
        int invalid = Of(spherical ? "sphericalInvalidState" : "cartesianInvalidState");

        XElement? pose = Child(scan, "pose"), turn = Child(pose, "rotation"), shift = Child(pose, "translation");
        (double qw, double qx, double qy, double qz) = (Number(Child(turn, "w"), turn is null ? 1 : 0), Number(Child(turn, "x"), 0), Number(Child(turn, "y"), 0), Number(Child(turn, "z"), 0));
        double norm = Math.Sqrt(qw * qw + qx * qx + qy * qy + qz * qz);
        if (!(norm is > 0.5 and < 2)) throw new ScanFormatException(Invariant($"a quaternion of length {norm}"), "a pose with a unit quaternion", Damaged);
        (qw, qx, qy, qz) = (qw / norm, qx / norm, qy / norm, qz / norm);
        (double tx, double ty, double tz) = (Number(Child(shift, "x"), 0), Number(Child(shift, "y"), 0), Number(Child(shift, "z"), 0));

        // Section header: id, reserved, length, place of the first packet, place of the index.
        byte[] section = new byte[32];
        pages.Seek(at);
        pages.Read(section);
        if (section[0] != 1) throw new ScanFormatException(Invariant($"section {section[0]}"), "a compressed vector", Damaged);
        pages.Seek((long)BinaryPrimitives.ReadUInt64LittleEndian(section.AsSpan(16)));

        long done = 0;
        byte[] packet = new byte[65_536 + 8];
        while (done < records)
        {
            pages.Read(packet.AsSpan(0, 4));
            int size = BinaryPrimitives.ReadUInt16LittleEndian(packet.AsSpan(2)) + 1;
            if (packet[0] is 0 or 2)
            {
                pages.Skip(size - 4);
                continue;
            }
            if (packet[0] != 1 || size < 6) throw new ScanFormatException(Invariant($"packet {packet[0]} of {size} bytes after {done} of {records} points"), "a data packet", Damaged);
            pages.Read(packet.AsSpan(4, size - 4));
            int streams = BinaryPrimitives.ReadUInt16LittleEndian(packet.AsSpan(4)), from = 6 + 2 * streams;
            if (streams != columns.Length || from > size) throw new ScanFormatException(Invariant($"{streams} streams"), Invariant($"{columns.Length} streams in a packet"), Damaged);
            for (int k = 0; k < streams; k++)
            {
                int bytes = BinaryPrimitives.ReadUInt16LittleEndian(packet.AsSpan(6 + 2 * k));
                if (from + bytes > size) throw new ScanFormatException("streams longer than their packet", "streams inside their packet", Damaged);
                columns[k].Feed(packet.AsSpan(from, bytes));
                from += bytes;
            }
            long ready = records - done;
            foreach (Column column in columns) ready = Math.Min(ready, column.Ready);
            for (long i = 0; i < ready; i++)
            {
                foreach (Column column in columns) column.Next();
                if (invalid >= 0 && columns[invalid].Value != 0)
                {
                    writer.LeftOut++;
                    continue;
                }
                double px, py, pz;
                if (spherical)
                {
                    (double r, double a, double e) = (columns[range].Value, columns[azimuth].Value, columns[elevation].Value);
                    (px, py, pz) = (r * Math.Cos(e) * Math.Cos(a), r * Math.Cos(e) * Math.Sin(a), r * Math.Sin(e));
                }
                else
                {
                    (px, py, pz) = (columns[x].Value, columns[y].Value, columns[z].Value);
                }
                // p + 2 q x (q x p + w p)
                double cx = qy * pz - qz * py + qw * px, cy = qz * px - qx * pz + qw * py, cz = qx * py - qy * px + qw * pz;
                writer.Add(px + 2 * (qy * cz - qz * cy) + tx, py + 2 * (qz * cx - qx * cz) + ty, pz + 2 * (qx * cy - qy * cx) + tz);
            }
            done += ready;
        }
    }

    /// <summary>One field of the points: its bytes as they come, and its values in turn.</summary>
    private sealed class Column
    {
        private readonly int _bits;
        private readonly bool _isFloat, _isDouble;
        private readonly double _scale, _offset;
        private readonly long _minimum;
        private byte[] _bytes = new byte[1024];
        private int _length;
        private long _bit;

        public Column(XElement field)
        {
            string type = field.Attribute("type")?.Value ?? "";
            (_scale, _offset) = (1, 0);
            switch (type)
            {
                case "Float":
                    _isDouble = field.Attribute("precision")?.Value != "single";
                    _isFloat = true;
                    _bits = _isDouble ? 64 : 32;
                    break;
                case "Integer" or "ScaledInteger":
                    _minimum = Whole(field, "minimum", long.MinValue);
                    long maximum = Whole(field, "maximum", long.MaxValue);
                    if (maximum < _minimum) throw new ScanFormatException(Invariant($"{_minimum} to {maximum}"), $"a range for {field.Name.LocalName}", Damaged);
                    ulong span = (ulong)maximum - (ulong)_minimum;
                    _bits = 64 - BitOperations.LeadingZeroCount(span);
                    if (type == "ScaledInteger") (_scale, _offset) = (Number(field, "scale", 1), Number(field, "offset", 0));
                    Value = _minimum * _scale + _offset;   // a field of no bits has one value
                    break;
                default:
                    throw new ScanFormatException($"type '{type}' of {field.Name.LocalName}", "Float, Integer or ScaledInteger", "Export the scan without that field.");
            }
        }

        public double Value { get; private set; }

        public long Ready => _bits == 0 ? long.MaxValue : (8L * _length - _bit) / _bits;

        public void Feed(ReadOnlySpan<byte> more)
        {
            // Drop what was used up; at most a value's share stays.
            int used = (int)(_bit / 8);
            if (used > 0)
            {
                Buffer.BlockCopy(_bytes, used, _bytes, 0, _length - used);
                _length -= used;
                _bit -= 8L * used;
            }
            // Streams of one packet may run ahead of one another by little; one that runs away is damaged.
            if (_length + more.Length > 16 << 20) throw new ScanFormatException("a field that runs far ahead of the others", "fields in step", Damaged);
            if (_length + more.Length + 9 > _bytes.Length) Array.Resize(ref _bytes, 2 * (_length + more.Length) + 16);
            more.CopyTo(_bytes.AsSpan(_length));
            _length += more.Length;
        }

        public void Next()
        {
            if (_bits == 0) return;
            int at = (int)(_bit >> 3), shift = (int)(_bit & 7);
            _bit += _bits;
            if (_isFloat)
            {
                Value = _isDouble ? BinaryPrimitives.ReadDoubleLittleEndian(_bytes.AsSpan(at)) : BinaryPrimitives.ReadSingleLittleEndian(_bytes.AsSpan(at));
                return;
            }
            // The buffer always holds nine bytes past any value.
            ulong raw = BinaryPrimitives.ReadUInt64LittleEndian(_bytes.AsSpan(at)) >> shift;
            if (shift + _bits > 64) raw |= (ulong)_bytes[at + 8] << (64 - shift);
            if (_bits < 64) raw &= (1UL << _bits) - 1;
            Value = (long)((ulong)_minimum + raw) * _scale + _offset;
        }
    }

    /// <summary>The file without its page checksums, each of which is proved as it is read.</summary>
    private sealed class Pages(Stream stream, int size)
    {
        private readonly byte[] _page = new byte[size];
        private long _number = -1;
        private int _at;

        private int Room => size - 4;

        /// <summary>Goes to a place counted with the checksums.</summary>
        public void Seek(long physical)
        {
            if (physical < 0 || physical >= stream.Length || physical % size >= Room) throw new ScanFormatException(Invariant($"a place {physical}"), Invariant($"a place inside the {stream.Length} bytes of the file"), Damaged);
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
            if (stream.ReadAtLeast(_page, size, throwOnEndOfStream: false) < size) throw new ScanFormatException(Invariant($"the end of the file in page {number + 1}"), "a whole page", Damaged);
            uint crc = uint.MaxValue;
            ReadOnlySpan<byte> rest = _page.AsSpan(0, Room);
            for (; rest.Length >= 8; rest = rest[8..]) crc = BitOperations.Crc32C(crc, BinaryPrimitives.ReadUInt64LittleEndian(rest));
            for (; rest.Length > 0; rest = rest[1..]) crc = BitOperations.Crc32C(crc, rest[0]);
            if (~crc != BinaryPrimitives.ReadUInt32BigEndian(_page.AsSpan(Room)))
                throw new ScanFormatException(Invariant($"page {number + 1} with another checksum"), "a page that agrees with its checksum", Damaged);
            _number = number;
        }
    }
}
