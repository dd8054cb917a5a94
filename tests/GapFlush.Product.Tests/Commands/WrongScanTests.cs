using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;

namespace GapFlush.Product.Tests.Commands;

/// <summary>What goes wrong with scans on a working day; each is named, and nothing is written.</summary>
public class WrongScanTests
{
    private static readonly SeamScene Scene = new(SceneOptions.Typical with { Seed = 7, Pitch = 0.6, FarPitch = 8, OnlyNearStations = false });
    private static readonly Point3[] Points = [.. Scene.Points()];
    private static readonly RigidMotion Pose = RigidMotion.About(new(2460, -500, 600), new(1.9, -0.8, 2.1), new(-1500, 900, 2200));

    private static readonly FitPlan ThreeDoors = Scene.Plan with
    {
        Doors = [Scene.Door, ScenePlan.Mirrored(Scene.Door, "S1"), ScenePlan.Smaller(Scene.Door, "B1", 0.6)],
        Skin = [.. Scene.Plan.Skin, .. ScenePlan.Mirrored(Scene.Plan.Skin, "S1")],
        Datums = [.. new Point3[] { new(2050, -480, 250), new(2080, -540, 1010), new(2890, -500, 1000), new(2900, -470, 240), new(2450, -560, 1080) }.Select((p, i) => new Datum($"T{i + 1}", p, 0.02))],
    };

    [Fact]
    public Task A_scan_of_another_door_is_named() => Refused(ThreeDoors, "B1", Ply(Points.Select(Pose.Of)), "agrees with door P1", "Give --door P1");

    [Fact]
    public Task A_scan_of_the_door_of_the_other_hand_is_named() => Refused(ThreeDoors, "P1", Ply(Points.Select(p => Pose.Of(p with { Y = -p.Y }))), "agrees with door S1", "Give --door S1");

    [Fact]
    public Task A_mirrored_scan_is_named() => Refused(Scene.Plan, "P1", Ply(Points.Select(p => Pose.Of(p with { X = -p.X }))), "mirror image agrees with the seam of door P1", "other hand");

    [Fact]
    public Task A_file_cut_short_is_named()
    {
        byte[] whole = Ply(Points.Select(Pose.Of));
        return Refused(Scene.Plan, "P1", whole[..(whole.Length * 2 / 3)], "cut short", "as the header says");
    }

    [Fact]
    public Task Metres_are_named() => Refused(Scene.Plan, "P1", Ply(Points.Select(p => Pose.Of(p)).Select(p => new Point3(p.X / 1000, p.Y / 1000, p.Z / 1000))), "give --unit m.", "the size of door P1");

    [Fact]
    public Task Two_targets_that_changed_places_are_named()
    {
        IReadOnlyList<Datum> datums = ThreeDoors.Datums;
        string rows = string.Concat(datums.Select((d, i) => (Name: i switch { 0 => "T2", 1 => "T1", _ => d.Name }, At: Pose.Of(d.Position))).Select(t => FormattableString.Invariant($"{t.Name},{t.At.X},{t.At.Y},{t.At.Z}\n")));
        return Refused(ThreeDoors, "P1", Ply(Points.Take(20_000).Select(Pose.Of).Concat(Points.TakeLast(5000).Select(Pose.Of))), "T2 and T1 change places", "names are swapped", "datum,x,y,z\n" + rows);
    }

    // Half of the seam still holds the scan; what cannot be seen is missing, and it is said how much.
    [Fact]
    public async Task Half_a_door_is_named()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await Cut(scratch, Scene.Plan, "P1", Ply(Points.Where(p => p.X < 2460).Select(Pose.Of)), null);
        Assert.Contains("half of the door is missing from the scan", run.Error, StringComparison.Ordinal);
        Assert.Equal(1, run.ExitCode);
        string[][] rows = [.. (await File.ReadAllLinesAsync(scratch.At("out.csv"), TestContext.Current.CancellationToken)).Skip(1).Select(l => l.Split(','))];
        Assert.InRange(rows.Count(r => r[3].Length == 0), 25, 35);
        Assert.All(rows.Where(r => r[3].Length == 0), r => Assert.NotEqual("", r[14]));
    }

    // A plain rectangle, flat: nothing tells one end from the other.
    [Fact]
    public Task A_door_that_looks_the_same_turned_round_is_not_laid_on_the_plan()
    {
        List<Point3> plate = [];
        for (double x = -400; x <= 400; x += 1)
        {
            for (double y = -300; y <= 300; y += 1)
            {
                double out1 = Math.Max(Math.Abs(x) - 250, Math.Abs(y) - 150);
                if (Math.Abs(out1) > 2.2) plate.Add(new(x, y, 0));
                else if (Math.Abs(out1) < 1) plate.Add(new(x, y, -6));
            }
        }
        List<Station> stations = [];
        void Side(Point3 from, Vector3 along, Vector3 into, int count, double step)
        {
            for (int i = 0; i < count; i++) stations.Add(new($"{stations.Count + 1}", "seam", from + (i + 0.5) * step * along, new(0, 0, 1), along, into, stations.Count, 25 * stations.Count));
        }
        Side(new(-250, -150, 0), new(0, 1, 0), new(1, 0, 0), 6, 50);
        Side(new(-250, 150, 0), new(1, 0, 0), new(0, -1, 0), 10, 50);
        Side(new(250, 150, 0), new(0, -1, 0), new(-1, 0, 0), 6, 50);
        Side(new(250, -150, 0), new(-1, 0, 0), new(0, 1, 0), 10, 50);
        FitPlan plan = Scene.Plan with { Doors = [Scene.Door with { Stations = stations, PerimeterMm = 1600 }], Skin = [] };
        return Refused(plan, "P1", Ply(plate.Select(Pose.Of)), "two ways of laying the scan", "which way round");
    }

    private static byte[] Ply(IEnumerable<Point3> points) => ScanFiles.PlyBinary([.. points], big: false, wide: false);

    private static async Task Refused(FitPlan plan, string door, byte[] scan, string found, string remedy, string? targets = null)
    {
        using ScratchFolder scratch = new();
        CommandRun run = await Cut(scratch, plan, door, scan, targets);
        Assert.Contains(found, run.Error, StringComparison.Ordinal);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.False(File.Exists(scratch.At("out.csv")));
    }

    private static async Task<CommandRun> Cut(ScratchFolder scratch, FitPlan plan, string door, byte[] scan, string? targets)
    {
        ScenePlan.Write(scratch.At("plan"), plan);
        await File.WriteAllBytesAsync(scratch.At("scan.ply"), scan);
        List<string> args = ["section", scratch.At("plan"), "--door", door, "--scan", scratch.At("scan.ply"), "--out", scratch.At("out.csv")];
        if (targets is not null)
        {
            await File.WriteAllTextAsync(scratch.At("targets.csv"), targets);
            args.AddRange(["--targets", scratch.At("targets.csv")]);
        }
        return await CommandRun.Of([.. args]);
    }
}
