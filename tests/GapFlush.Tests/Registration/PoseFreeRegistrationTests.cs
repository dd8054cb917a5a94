using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Registration;
using GapFlush.Sections;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Registration;

public class PoseFreeRegistrationTests
{
    private static readonly SeamScene Scene = new(SceneOptions.Typical with { Seed = 7, Pitch = 0.6, FarPitch = 8, OnlyNearStations = false });
    private static readonly Point3[] Points = [.. Scene.Points()];

    // From any pose the seam alone comes near enough for stations to be cut, which takes 3 mm; seen 1.0 at most over fifty poses.
    [Fact]
    public void The_seam_is_found_from_fifty_poses() => Cases.Each(50, random =>
    {
        RigidMotion pose = AnyPose(random);
        CoarseAlignment.Pose found = CoarseAlignment.Find(SeamImage.Of(Sample(Points.Where((_, i) => i % 3 == 0).Select(pose.Of)), SeamScene.NominalGap)!, Scene.Door, mirrored: false, out CoarseAlignment.Pose? second)!;
        Assert.InRange(Farthest(found.Motion.After(pose)), 0, 2);
        Assert.InRange(found.Locked, 0.95, 1);
        Assert.True(second is null || second.Locked < 0.6, $"another pose agrees at {second?.Locked:0.00}");
    });

    // A tenth of a millimetre and of a milliradian at the door. Whole runs take seconds each: GAPFLUSH_POSES sets how many (50 of 50: 150 s).
    [Fact]
    public void A_scan_is_laid_on_the_plan_within_a_tenth_of_a_millimetre_from_any_pose()
    {
        int count = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_POSES"), out int asked) ? asked : 2;
        double worst = 0, worstTurn = 0;
        Cases.Each(count, random =>
        {
            RigidMotion pose = AnyPose(random);
            Outcome<DoorScan> cut = ScanSectioning.Run(Scene.Plan, Scene.Door, InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary([.. Points.Select(pose.Of)], big: false, wide: false)), new ScanRequest());
            RigidMotion left = cut.Value.Registration.Motion.After(pose);
            (worst, worstTurn) = (Math.Max(worst, Farthest(left)), Math.Max(worstTurn, 1000 * left.AngleRad));
            Assert.InRange(Farthest(left), 0, 0.1);
            Assert.InRange(1000 * left.AngleRad, 0, 0.1);
            // Three standard uncertainties, as stated.
            Assert.InRange(Farthest(left), 0, 3 * Math.Sqrt(3) * cut.Value.Registration.PlaceUncertaintyMm);
        });
        TestContext.Current.TestOutputHelper?.WriteLine($"worst of {count}: {worst:0.000} mm, {worstTurn:0.000} mrad");
    }

    // Skin over and over: a sample spread over six square metres must still show a seam 4 mm wide. GAPFLUSH_POSES scans all of it as densely as the seam, five million points; usually the skin away
    // from the seam at half of that.
    [Fact]
    public void A_door_in_six_square_metres_of_skin_is_found()
    {
        bool asked = Environment.GetEnvironmentVariable("GAPFLUSH_POSES") is not null;
        SeamScene scene = new(SceneOptions.Typical with { Seed = 8, Pitch = 1.05, FarPitch = asked ? 1.05 : 2.1, FarBeyond = (1000, 500), OnlyNearStations = false, PassSd = 0 });
        RigidMotion pose = AnyPose(new SeededRandom(5));
        Point3[] points = [.. scene.Points().Select(pose.Of)];
        Outcome<DoorScan> cut = ScanSectioning.Run(scene.Plan, scene.Door, InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary(points, big: false, wide: false)), new ScanRequest());
        Assert.True(cut.IsUsable, cut.IsUsable ? "" : cut.Problems[0].ToString());
        RigidMotion left = cut.Value.Registration.Motion.After(pose);
        double farthest = scene.Door.Stations.Max(s => left.Of(s.Position).DistanceTo(s.Position));
        TestContext.Current.TestOutputHelper?.WriteLine(Invariant($"{points.Length} points: {farthest:0.000} mm; {cut.Value.Registration.Remarks[0]}"));
        Assert.InRange(farthest, 0, 0.1);
        Assert.InRange(cut.Value.Stations.Count(s => s.GapMm is not null), 55, 60);
    }

    internal static RigidMotion AnyPose(SeededRandom random)
    {
        // A turn from four normal numbers is as likely one way as another.
        double[] q = [random.Normal(), random.Normal(), random.Normal(), random.Normal()];
        Vector3 axis = new(q[1], q[2], q[3]);
        return RigidMotion.About(new(2460, -500, 600), 2 * Math.Atan2(axis.Length, q[0]) / axis.Length * axis, new(random.Between(-2000, 2000), random.Between(-2000, 2000), random.Between(-2000, 2000)));
    }

    private static double Farthest(RigidMotion left) => Scene.Door.Stations.Max(s => left.Of(s.Position).DistanceTo(s.Position));

    internal static ScanSample Sample(IEnumerable<Point3> points)
    {
        ScanSample sample = new();
        sample.Add([.. points.SelectMany(p => new[] { p.X, p.Y, p.Z })]);
        return sample;
    }
}
