using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Xml;
using System.Xml.Linq;

namespace GapFlush.Scans;

/// <summary>Reads the points of an ASTM E2807 file: pages with checksums, compressed vectors of floats, scaled and plain integers, poses, and invalid-state flags.</summary>
internal static class E57Scan
{
    internal const string Damaged = "The file is damaged or cut short; export it again.";

    public static string Read(Stream stream, BlockWriter writer, IPointSieve sieve, int threads, List<string> notices)
    {
        byte[] header = new byte[48];
        stream.Position = 0;
        if (stream.ReadAtLeast(header, 48, throwOnEndOfStream: false) < 48) throw new ScanFormatException("a file of fewer than 48 bytes", "an E57 header", Damaged);
        ulong length = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(16)), xmlAt = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(24)), xmlLength = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(32)), page = BinaryPrimitives.ReadUInt64LittleEndian(header.AsSpan(40));
        if (page is < 64 or > 1 << 20 || page % 4 != 0) throw new ScanFormatException(Invariant($"pages of {page} bytes"), "pages of 1024 bytes", Damaged);
        if (length > (ulong)stream.Length) throw new ScanFormatException(Invariant($"{stream.Length} bytes"), Invariant($"{length} bytes, as the header says"), Damaged);
        if (xmlAt >= (ulong)stream.Length || xmlLength is 0 or > 64 << 20 || xmlLength > (ulong)stream.Length) throw new ScanFormatException(Invariant($"a description of {xmlLength} bytes at {xmlAt}"), "a description inside the file", Damaged);
        E57Pages pages = new(stream, (int)page);
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
        foreach (XElement scan in scans) One(pages, scan, writer, sieve, threads);
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

    private static void One(E57Pages pages, XElement scan, BlockWriter writer, IPointSieve sieve, int threads)
    {
        XElement points = Child(scan, "points") ?? throw new ScanFormatException("a scan without them", "points", Damaged);
        long records = Whole(points, "recordCount", 0), at = Whole(points, "fileOffset", 0);
        if (records < 0) throw new ScanFormatException(Invariant($"{records} records"), "a count of zero or more", Damaged);
        if (records == 0) return;
        XElement[] fields = [.. Child(points, "prototype")?.Elements() ?? []];
        if (fields.Length is 0 or > 256) throw new ScanFormatException(Invariant($"{fields.Length} fields a point"), "1 to 256 fields a point", Damaged);
        E57Field[] columns = [.. fields.Select(Field)];
        if (columns.All(c => c.Bits == 0)) throw new ScanFormatException(Invariant($"{records} points, all of whose fields have one value only"), "fields that hold points", Damaged);
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

        E57Pieces pieces = new(pages, columns, records)
        {
            Coordinates = spherical ? (range, azimuth, elevation) : (x, y, z),
            IsSpherical = spherical,
            Invalid = invalid,
            Turn = (qw, qx, qy, qz),
            Shift = (tx, ty, tz),
        };
        // A handful of points is read sooner than a thread is woken.
        pieces.Run(sieve, records < 20_000 ? 1 : threads, writer);
    }

    private static E57Field Field(XElement field)
    {
        string type = field.Attribute("type")?.Value ?? "";
        switch (type)
        {
            case "Float":
                return field.Attribute("precision")?.Value == "single" ? new(E57Kind.Single, 32, 0, 1, 0) : new(E57Kind.Double, 64, 0, 1, 0);
            case "Integer" or "ScaledInteger":
                (long minimum, long maximum) = (Whole(field, "minimum", long.MinValue), Whole(field, "maximum", long.MaxValue));
                if (maximum < minimum) throw new ScanFormatException(Invariant($"{minimum} to {maximum}"), $"a range for {field.Name.LocalName}", Damaged);
                int bits = 64 - BitOperations.LeadingZeroCount((ulong)maximum - (ulong)minimum);
                return type == "ScaledInteger" ? new(E57Kind.Integer, bits, minimum, Number(field, "scale", 1), Number(field, "offset", 0)) : new(E57Kind.Integer, bits, minimum, 1, 0);
            default:
                throw new ScanFormatException($"type '{type}' of {field.Name.LocalName}", "Float, Integer or ScaledInteger", "Export the scan without that field.");
        }
    }
}
