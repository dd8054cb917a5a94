using System.Buffers.Binary;
using System.Text;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>A small line-laser scan of a demo door: three lines across the seam at every station, in the scanner's own axes, with targets and truth.</summary>
/// <remarks>METHOD.md, eq. 8. Walls stand square to the seam (no draft), so that the edge extreme is the wall and gap and flush are what was planted.</remarks>
internal static class ScanModel
{
    // Common practice, no source: edge radii of moulded skins, a laser's noise, and the point distance of a hand-held line.
    private const double SurroundRadius = 0.8, DoorRadius = 1.2, Noise = 0.02, Pitch = 0.4, SkinMm = 22, WallMm = 5.5, TargetNoise = 0.02;
    // How much of a seam's departure from a rigid movement lies in the opening; the rest is the door.
    private const double OpeningShare = 0.4;
    private static readonly double[] Lines = [-1, 0, 1];

    /// <summary>The build and door that are scanned.</summary>
    public static (int Sequence, string Door) Scanned { get; } = (17, "P1");

    /// <summary>Each side's own place at a station, mm: edge along u and face along n, against nominal.</summary>
    internal readonly record struct Sides(double SurroundEdge, double SurroundFace, double DoorEdge, double DoorFace);

    /// <summary>Scan, targets, and truth.</summary>
    public static IEnumerable<DemoFile> Files(FitPlan plan, DemoBuild build, ulong seed)
    {
        DoorTruth truth = build.Doors.Single(d => d.Door.Code == Scanned.Door);
        SeededRandom random = new(seed);
        RigidMotion toScan = RigidMotion.About(truth.Door.Centre, new(0.31, -0.22, 1.1), new(-2400, 900, -310));
        List<Point3> points = [];
        foreach (Station station in truth.Door.Stations) Cut(points, station, truth, NominalGap(plan, truth.Door, station), random);
        string name = $"scans/{build.Serial}-{Scanned.Door}";
        yield return new($"{name}.ply", Ply([.. points.Select(toScan.Of)], build.Serial));
        yield return new($"{name}-targets.csv", Encoding.UTF8.GetBytes(PlanText.Csv("datum,x,y,z", plan.Datums.Where(d => d.Name.StartsWith(Scanned.Door, StringComparison.Ordinal)).Select(d =>
        {
            Point3 p = DabchickDoors.Rounded(toScan.Of(d.Position) + TargetNoise * new Vector3(random.Normal(), random.Normal(), random.Normal()));
            return (object?[])[d.Name, p.X, p.Y, p.Z];
        }))));
        yield return new("truth/scans.csv", Encoding.UTF8.GetBytes(PlanText.Csv("build,door,station,gap,flush,surround_edge,surround_face,door_edge,door_face", truth.Door.Stations.Select(s =>
        {
            Sides sides = SidesAt(truth, s, NominalGap(plan, truth.Door, s));
            return (object?[])[build.Serial, truth.Door.Code, s.Name, R(truth.GapMm[s.Index]), R(truth.FlushMm[s.Index]), R(sides.SurroundEdge), R(sides.SurroundFace), R(sides.DoorEdge), R(sides.DoorFace)];
        }))));

        static double R(double value) => Math.Round(value, 4) + 0.0;
    }

    private static double NominalGap(FitPlan plan, Door door, Station station) => plan.Limits.For(Characteristic.Gap, door.Code, station.Zone, station.Name, new DemoOptions().Stage)!.Nominal!.Value;

    private static Sides SidesAt(DoorTruth truth, Station station, double nominalGap)
    {
        double edge = -OpeningShare * truth.GapShapeMm[station.Index], face = -OpeningShare * truth.FlushShapeMm[station.Index];
        return new(edge, face, truth.GapMm[station.Index] - nominalGap + edge, truth.FlushMm[station.Index] + face);
    }

    private static void Cut(List<Point3> points, Station station, DoorTruth truth, double nominalGap, SeededRandom random)
    {
        Sides sides = SidesAt(truth, station, nominalGap);
        double tilt = station.Normal.Dot(truth.RotationRad.Cross(station.IntoDoor));
        foreach (double line in Lines)
        {
            foreach ((bool isDoor, double radius) in new[] { (false, SurroundRadius), (true, DoorRadius) })
            {
                double side = isDoor ? 1 : -1, edge = side * nominalGap / 2 + (isDoor ? sides.DoorEdge : sides.SurroundEdge), face = isDoor ? sides.DoorFace : sides.SurroundFace;
                foreach ((double back, double down) in Outline(radius, random))
                {
                    double u = edge + side * back;
                    // Skin as it is nominally there, or at the end of the radius for what lies below it.
                    double skin = Skin(station, line, edge + side * Math.Max(back, radius)) + face + (isDoor ? tilt * u : 0);
                    // One point in two hundred is a stray.
                    double stray = random.Unit() < 0.005 ? random.Between(-1.5, 1.5) : 0;
                    points.Add(station.Position + line * station.Tangent + (u + random.Normal(0, Noise)) * station.IntoDoor + (skin - down + stray + random.Normal(0, Noise)) * station.Normal);
                }
            }
        }
    }

    // Set-back from the wall and depth below the skin: skin, radius, wall.
    private static IEnumerable<(double Back, double Down)> Outline(double radius, SeededRandom random)
    {
        for (double q = SkinMm - Pitch * random.Unit(); q > radius; q -= Pitch) yield return (q, 0);
        double step = Pitch / radius;
        for (double a = step * random.Unit(); a < Math.PI / 2; a += step) yield return (radius * (1 - Math.Sin(a)), radius * (1 - Math.Cos(a)));
        for (double d = radius + Pitch * random.Unit(); d < WallMm; d += Pitch) yield return (0, d);
    }

    // Height of the nominal skin over the station's tangent plane.
    private static double Skin(Station station, double along, double across) =>
        (BarrelSkin.Under(station.Position + along * station.Tangent + across * station.IntoDoor) - station.Position).Dot(station.Normal);

    private static byte[] Ply(Point3[] points, string serial)
    {
        byte[] head = Encoding.ASCII.GetBytes(Invariant($"ply\nformat binary_little_endian 1.0\ncomment Dabchick D4 {serial} door {Scanned.Door}, line laser LS-01, mm, scanner's own axes\nelement vertex {points.Length}\nproperty float x\nproperty float y\nproperty float z\nend_header\n"));
        byte[] file = new byte[head.Length + 12 * points.Length];
        head.CopyTo(file, 0);
        for (int i = 0; i < points.Length; i++)
        {
            Span<byte> at = file.AsSpan(head.Length + 12 * i, 12);
            // To a micrometre: the last bits of sines and roots are not the same everywhere, and the file must be.
            BinaryPrimitives.WriteSingleLittleEndian(at, (float)Math.Round(points[i].X, 3));
            BinaryPrimitives.WriteSingleLittleEndian(at[4..], (float)Math.Round(points[i].Y, 3));
            BinaryPrimitives.WriteSingleLittleEndian(at[8..], (float)Math.Round(points[i].Z, 3));
        }
        return file;
    }
}
