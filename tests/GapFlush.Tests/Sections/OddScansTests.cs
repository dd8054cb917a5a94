using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Sections;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

/// <summary>Scans that are not as one would wish: each is laid where it belongs, or refused in words.</summary>
public class OddScansTests
{
    private static readonly RigidMotion Pose = RigidMotion.About(new(2460, -500, 600), new(0.4, 0.5236, -1.1), new(300, 900, -200));
    private static readonly SeamScene Scene = Made(0);
    private static readonly Point3[] Points = [.. Scene.Points()];
    private static readonly SeamCurve Seam = SeamCurve.Of(Scene.Door);

    // How many of 24 stations have a gap at least. Seen: at worst 2.9 stated standard uncertainties of a value, 1.5 of a place.
    [Theory]
    [InlineData("the next panels' seams in view", 23)]
    [InlineData("upper half", 9)]
    [InlineData("strays all about", 23)]
    [InlineData("sunk 4 mm", 22)]
    public void A_scan_is_laid_where_it_belongs(string kind, int least)
    {
        SeededRandom random = new(77);
        SeamScene scene = kind == "sunk 4 mm" ? Made(-4) : Scene;
        double middle = scene.Door.Centre.Z;
        IEnumerable<Point3> points = kind switch
        {
            "the next panels' seams in view" => Points.Where(p => Math.Abs(p.X - 2960) > 2.2 && Math.Abs(p.Z - middle - 480) > 2.2),
            "upper half" => Points.Where(p => p.Z > middle),
            "strays all about" => Points.Concat(Enumerable.Range(0, Points.Length / 20).Select(_ => new Point3(random.Between(1500, 3500), random.Between(-1500, 100), random.Between(-500, 1500)))),
            _ => scene.Points(),
        };
        DoorScan cut = Usable(Cut(scene.Plan, scene.Door, points));
        Placed(cut);
        Assert.InRange(cut.Stations.Count(s => s.GapMm is not null), least, 24);
        for (int i = 0; i < 24; i++)
        {
            StationSection s = cut.Stations[i];
            if (s.GapMm is double gap) Assert.InRange(Math.Abs(gap - scene.Truth[i].Gap) / s.GapUncertaintyMm!.Value, 0, 5);
            if (s.FlushMm is double flush) Assert.InRange(Math.Abs(flush - scene.Truth[i].Flush) / s.FlushUncertaintyMm!.Value, 0, 5);
        }
    }

    // 20 mm of skin on either side of the seam hold the scan nearly as well as all of it. (Tape that covers most of such a strip is taken for skin: not asked here.)
    [Fact]
    public void A_strip_along_the_seam_is_laid_where_it_belongs() => Placed(Usable(Cut(Scene.Plan, Scene.Door, Points.Where(p => Math.Abs(Across(p)) < 20))));

    // The seam shows between most stations and at few of them, as where a scan fits the seam in a wrong place.
    [Fact]
    public void A_scan_that_shows_an_edge_at_few_stations_is_refused()
    {
        Station[] bare = [.. Scene.Door.Stations.Where(s => s.Index % 8 != 0)];
        Outcome<DoorScan> cut = Cut(Scene.Plan, Scene.Door, Points.Where(p => !Array.Exists(bare, s => Math.Abs((p - s.Position).Dot(s.Tangent)) < 24 && s.Position.DistanceTo(p) < 60)));
        Assert.Matches("^the surround's edge at 3 of 24 stations, with skin at [4-8]. % of the seam$", Assert.Single(cut.Problems).Found);
    }

    [Fact]
    public void An_opening_without_its_door_is_refused()
    {
        Outcome<DoorScan> cut = Cut(Scene.Plan, Scene.Door, Points.Where(p => Across(p) < 0));
        Assert.Contains("agrees with door P1 at", Assert.Single(cut.Problems).Found, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("P1")]
    [InlineData("B1")]
    public void Of_two_doors_in_one_scan_either_is_found(string code)
    {
        DemoDoorScene cabin = new("P1", new() { Moved = (new(0.4, 0.5, -0.6), new(1e-3, 1e-3, -1e-3)) }, 3), baggage = new("B1", new(), 4);
        Placed(Usable(Cut(cabin.Plan, (code == "P1" ? cabin : baggage).Door, cabin.Points().Concat(baggage.Points()), new() { Stage = "final" })));
    }

    // A stand at one end: at the other the points lie farther apart than a third of the gap, and the holes between them look like seams, of which some agree with anything.
    [Fact]
    public void A_scan_with_holes_at_its_far_end_is_refused_for_its_holes()
    {
        SeededRandom random = new(77);
        (double x0, double x1) = (Points.Min(p => p.X), Points.Max(p => p.X));
        Outcome<DoorScan> cut = Cut(Scene.Plan, Scene.Door, Points.Where(p => random.Unit() < Math.Pow(4, -(p.X - x0) / (x1 - x0))));
        Assert.Contains("of what looks like a seam", Assert.Single(cut.Problems).Found, StringComparison.Ordinal);
    }

    // The other side's door is not in it.
    [Fact]
    public void Of_two_doors_in_one_scan_a_third_is_not_found()
    {
        DemoDoorScene cabin = new("P1", new(), 3), baggage = new("B1", new(), 4);
        Outcome<DoorScan> cut = Cut(cabin.Plan, cabin.Plan.FindDoor("S1")!, cabin.Points().Concat(baggage.Points()), new() { Stage = "final" });
        Assert.Contains("Give --door P1", Assert.Single(cut.Problems).Remedy, StringComparison.Ordinal);
    }

    private static SeamScene Made(double proud) => new(SceneOptions.Typical with { Seed = 5, Stations = 24, Pitch = 0.7, FarPitch = 1.3, OnlyNearStations = false, Proud = proud });

    // How far from the seam a point lies, positive on the door's side.
    private static double Across(Point3 p)
    {
        SeamCurve.Place near = Seam.Places.MinBy(s => s.Position.DistanceTo(p));
        return (p - near.Position).Dot(near.IntoDoor);
    }

    private static DoorScan Usable(Outcome<DoorScan> cut)
    {
        Assert.True(cut.IsUsable, cut.IsUsable ? "" : cut.Problems[0].ToString());
        return cut.Value;
    }

    private static void Placed(DoorScan cut)
    {
        RigidMotion left = cut.Registration.Motion.After(Pose);
        foreach (Station s in cut.Door.Stations)
        {
            Vector3 off = left.Of(s.Position) - s.Position;
            Assert.InRange(off.Length, 0, 0.1);
            foreach (Vector3 v in new[] { s.Tangent, s.Normal, s.IntoDoor }) Assert.InRange(Math.Abs(off.Dot(v)) / cut.Registration.Uncertainty!.At(s.Position, v), 0, 3.5);
        }
    }

    private static Outcome<DoorScan> Cut(FitPlan plan, Door door, IEnumerable<Point3> points, ScanRequest? request = null) =>
        ScanSectioning.Run(plan, door, InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary([.. points.Select(Pose.Of)], big: false, wide: true)), request ?? new());
}
