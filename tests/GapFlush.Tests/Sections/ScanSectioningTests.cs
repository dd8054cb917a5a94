using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Sections;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

public class ScanSectioningTests
{
    private static readonly SeamScene Scene = new(SceneOptions.Typical with { Seed = 7, Pitch = 0.6, FarPitch = 8, OnlyNearStations = false });
    private static readonly Point3[] Points = [.. Scene.Points()];

    [Fact]
    public void A_scan_in_any_pose_gives_what_the_same_scan_gives_in_plan_axes()
    {
        DoorScan aligned = Cut(Points, new ScanRequest { Aligned = true }).Value;
        RigidMotion pose = RigidMotion.About(new(2460, -500, 600), new(1.9, -0.8, 2.1), new(-1500, 900, 2200));
        DoorScan posed = Cut([.. Points.Select(pose.Of)], new ScanRequest()).Value;
        // The surround waves by 0.07 mm about nominal, part of which looks like a rigid motion; its skin holds the rest.
        RigidMotion left = posed.Registration.Motion.After(pose);
        Assert.InRange(Scene.Door.Stations.Max(s => left.Of(s.Position).DistanceTo(s.Position)), 0, 0.1);
        Assert.Equal(Scene.Door.Stations.Count, posed.Stations.Count(s => s.GapMm is not null));
        // Floats of the posed file round at 2e-4 mm; a station moved 0.1 mm along a wavy door sees another 0.001. In a scan as coarse as this one the skin of a station under
        // tape may settle on the tape, a tenth of a millimetre up, in one pose and not in another: seen at one station in sixty.
        double[] gap = [.. posed.Stations.Select((s, i) => Math.Abs(s.GapMm!.Value - aligned.Stations[i].GapMm!.Value))], flush = [.. posed.Stations.Select((s, i) => Math.Abs(s.FlushMm!.Value - aligned.Stations[i].FlushMm!.Value))];
        Assert.InRange(gap.Count(v => v > 0.03) + flush.Count(v => v > 0.03), 0, 3);
        Assert.InRange(gap.Concat(flush).Max(), 0, 0.12);
        Assert.InRange(Math.Sqrt(posed.Stations.Select((s, i) => Math.Pow(s.GapMm!.Value - Scene.Truth[i].Gap, 2)).Average()), 0, 0.025);
        Assert.InRange(Math.Sqrt(posed.Stations.Select((s, i) => Math.Pow(s.FlushMm!.Value - Scene.Truth[i].Flush, 2)).Average()), 0, 0.02);
    }

    [Fact]
    public void Metres_without_a_unit_are_asked_about()
    {
        InputProblem problem = Cut([.. Points.Select(p => new Point3(p.X / 1000, p.Y / 1000, p.Z / 1000))], new ScanRequest()).Problems[0];
        Assert.Contains("--unit m", problem.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_scan_too_coarse_to_show_its_seam_says_so()
    {
        InputProblem problem = Cut([.. Points.Where((_, i) => i % 40 == 0)], new ScanRequest()).Problems[0];
        Assert.Contains("no seam 4.4 mm wide shows", problem.Found, StringComparison.Ordinal);
        Assert.Contains("more closely", problem.Remedy, StringComparison.Ordinal);
    }

    // Between the two: seams seem to be everywhere, and the scan seems to fit two ways.
    [Fact]
    public void A_scan_whose_holes_look_like_seams_says_so()
    {
        InputProblem problem = Cut([.. Points.Where((_, i) => i % 18 == 0)], new ScanRequest()).Problems[0];
        Assert.Contains("m of what looks like a seam, where door P1 has 2.7 m", problem.Found, StringComparison.Ordinal);
        Assert.Contains("no farther apart than 1.5 mm", problem.Expected, StringComparison.Ordinal);
    }

    [Fact]
    public void A_scan_that_lies_at_another_door_names_it()
    {
        FitPlan plan = Scene.Plan with { Doors = [Scene.Door, ScenePlan.Mirrored(Scene.Door, "S1")] };
        InputProblem problem = ScanSectioning.Run(plan, plan.Doors[1], InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary(Points, big: false, wide: false)), new ScanRequest { Aligned = true }).Problems[0];
        Assert.Contains("lies at door P1: give --door P1", problem.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_scan_that_is_not_in_plan_axes_is_not_taken_as_aligned()
    {
        InputProblem problem = Cut([.. Points.Select(p => p + new Vector3(500, 0, 0) + new Vector3(0, 900, 0))], new ScanRequest { Aligned = true }).Problems[0];
        Assert.Contains("--aligned", problem.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Half_a_door_leaves_the_other_half_missing_with_its_reason()
    {
        Point3[] half = [.. Points.Where(p => p.X < 2460)];
        Outcome<DoorScan> cut = Cut(half, new ScanRequest { Aligned = true });
        StationSection[] missing = [.. cut.Value.Stations.Where(s => s.GapMm is null)];
        Assert.InRange(missing.Length, 20, 40);
        Assert.All(missing, s => Assert.False(string.IsNullOrEmpty(s.Reason)));
        Assert.Contains(cut.Notices, n => n.Contains("no points to speak of", StringComparison.Ordinal));
    }

    [Fact]
    public void What_too_few_stations_tell_of_the_passes_is_said_to_be_a_usual_value()
    {
        Station[] few = [.. Scene.Door.Stations.Take(6)];
        Outcome<DoorScan> cut = Cut([.. Points.Where(p => few.Any(s => s.Position.DistanceTo(p) < 40))], new ScanRequest { Aligned = true });
        Assert.Contains(cut.Notices, n => n.Contains("too few stations to tell whether the scanner's passes agree; 0.005 mm is counted", StringComparison.Ordinal));
        Assert.DoesNotContain(Cut(Points, new ScanRequest { Aligned = true }).Notices, n => n.Contains("passes agree", StringComparison.Ordinal));
    }

    [Fact]
    public void Targets_with_swapped_names_are_named() => Refused(t => (t[0], t[1]) = ((t[0].Datum, t[1].InScan), (t[1].Datum, t[0].InScan)), "T1 and T2 change places");

    [Fact]
    public void Targets_of_the_other_hand_are_refused() => Refused(t => Each(t, p => p with { Z = -p.Z }), "other hand");

    [Fact]
    public void Targets_in_inches_are_told() => Refused(t => Each(t, p => new(p.X / 25.4, p.Y / 25.4, p.Z / 25.4)), "--unit in");

    [Fact]
    public void Targets_on_one_line_are_refused() => Refused(t => t.RemoveRange(1, t.Count - 1), "three targets");

    [Fact]
    public void One_bad_target_of_six_is_left_out_and_named()
    {
        List<(Datum Datum, Point3 InScan)> targets = Targets();
        ScanRegistration whole = TargetRegistration.Fit(targets, out _)!;
        targets[3] = (targets[3].Datum, targets[3].InScan + new Vector3(0, 2, 0));
        ScanRegistration registration = TargetRegistration.Fit(targets, out string refusal)!;
        Assert.Equal("", refusal);
        Assert.Matches("^target T4 lies (1.9|2.0)", registration.Remarks[0]);
        Assert.Contains("it was left out", registration.Remarks[0], StringComparison.Ordinal);
        // As if it had not been there: the same motion, and less sure than with all six.
        ScanRegistration without = TargetRegistration.Fit([.. targets.Where((_, i) => i != 3)], out _)!;
        foreach (Station s in Scene.Door.Stations) Near.Absolute(0, without.Motion.Of(s.Position).DistanceTo(registration.Motion.Of(s.Position)), 1e-9);
        Point3 there = targets[3].Datum.Position;
        Assert.InRange(registration.Uncertainty!.Worst(there) / whole.Uncertainty!.Worst(there), 1.1, 3);
    }

    [Fact]
    public void Two_bad_targets_of_six_are_left_out_and_named()
    {
        List<(Datum Datum, Point3 InScan)> targets = Targets();
        targets[3] = (targets[3].Datum, targets[3].InScan + new Vector3(0, 2, 0));
        targets[0] = (targets[0].Datum, targets[0].InScan + new Vector3(-1, 0, 1));
        ScanRegistration registration = TargetRegistration.Fit(targets, out _)!;
        Assert.Equal(2, registration.Remarks.Count(r => r.Contains("it was left out", StringComparison.Ordinal)));
        Assert.Contains(registration.Remarks, r => r.StartsWith("target T1 lies", StringComparison.Ordinal));
        Assert.Contains(registration.Remarks, r => r.StartsWith("target T4 lies", StringComparison.Ordinal));
    }

    // With three others left nobody can tell; with three targets in all not even which.
    [Theory]
    [InlineData(4, "target T4 lies")]
    [InlineData(3, "contradict one another")]
    public void A_bad_target_among_few_is_refused(int count, string expected) => Refused(t =>
    {
        t.RemoveRange(count, t.Count - count);
        int bad = count == 4 ? 3 : 2;
        t[bad] = (t[bad].Datum, t[bad].InScan + new Vector3(1.5, 2, 0.5));
    }, expected);

    // Good targets are let be: 400 sets, each with a chance of one in a thousand to lose one.
    [Fact]
    public void Good_targets_are_not_left_out()
    {
        int leftOut = 0;
        Cases.Each(400, random => leftOut += TargetRegistration.Fit(Targets(random), out _)!.Remarks.Any(r => r.Contains("left out", StringComparison.Ordinal)) ? 1 : 0);
        Assert.InRange(leftOut, 0, 4);
    }

    // How far a place on the seam is off, against what is stated: the mean square of a ratio whose variance is known is 1, and more is stated where the residuals show more.
    [Fact]
    public void Targets_hold_a_place_as_surely_as_is_said()
    {
        List<double> ratios = [];
        Cases.Each(400, random =>
        {
            ScanRegistration found = TargetRegistration.Fit(Targets(random), out _)!;
            RigidMotion left = found.Motion.After(Pose);
            Station s = Scene.Door.Stations[random.Below(Scene.Door.Stations.Count)];
            ratios.Add((left.Of(s.Position) - s.Position).Dot(s.IntoDoor) / found.Uncertainty!.At(s.Position, s.IntoDoor));
        });
        Assert.InRange(ratios.Count(r => Math.Abs(r) <= 1.96) / 400.0, 0.93, 0.98);
    }

    private static void Refused(Action<List<(Datum Datum, Point3 InScan)>> spoil, string expected)
    {
        List<(Datum Datum, Point3 InScan)> targets = Targets();
        spoil(targets);
        Assert.Null(TargetRegistration.Fit(targets, out string refusal));
        Assert.Contains(expected, refusal, StringComparison.Ordinal);
    }

    private static void Each(List<(Datum Datum, Point3 InScan)> targets, Func<Point3, Point3> change)
    {
        for (int i = 0; i < targets.Count; i++) targets[i] = (targets[i].Datum, change(targets[i].InScan));
    }

    private static readonly RigidMotion Pose = RigidMotion.About(default, new(0.4, 1, -0.7), new(300, -200, 100));

    private static List<(Datum Datum, Point3 InScan)> Targets() => Targets(new(4));

    private static List<(Datum Datum, Point3 InScan)> Targets(SeededRandom random)
    {
        Point3[] at = [new(2050, -480, 250), new(2080, -540, 1010), new(2890, -500, 1000), new(2900, -470, 240), new(2450, -560, 1080), new(2430, -430, 180)];
        return [.. at.Select((p, i) => (new Datum($"T{i + 1}", p, 0.02), Pose.Of(p) + 0.02 * new Vector3(random.Normal(), random.Normal(), random.Normal())))];
    }

    private static Outcome<DoorScan> Cut(Point3[] points, ScanRequest request) =>
        ScanSectioning.Run(Scene.Plan, Scene.Door, InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary(points, big: false, wide: false)), request);
}
