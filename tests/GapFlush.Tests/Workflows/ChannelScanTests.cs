using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Scans;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;
using GapFlush.Workflows;

namespace GapFlush.Tests.Workflows;

/// <summary>A channel cut out of a scan that lies anywhere: laid on the plan by the seam of its door, or by targets.</summary>
public class ChannelScanTests
{
    private const double SagMm = 4;
    private static readonly RigidMotion Pose = RigidMotion.About(new(2460, -500, 600), new(0.4, -0.3, 1.1), new(-700, 400, 900));
    private static readonly SeamScene Scene = new(SceneOptions.Typical with { Seed = 7, Pitch = 0.9, FarPitch = 8, OnlyNearStations = false });
    private static readonly Channel Sill = Along(Scene.Door);
    private static readonly FitPlan Plan = Scene.Plan with { Channels = [Sill], Attitudes = [new("level", 0, 0)] };

    [Fact]
    public void Without_targets_the_seam_lays_the_scan_and_the_sag_is_found()
    {
        ScannedChannels found = ChannelScan.Read(Plan, Scan(), seamOf: Plan.FindDoor(Scene.Door.Code)).Value;
        // The scan lies to a tenth of a millimetre; the floor, 0.6 mm between its points, to a few hundredths.
        Check(found, 0.15);
    }

    [Fact]
    public void With_targets_the_targets_lay_it()
    {
        Datum[] datums = [.. Enumerable.Range(0, 6).Select(i => new Datum($"T{i}", Scene.Door.Stations[i * Scene.Door.Stations.Count / 6].Position, 0.05))];
        Check(ChannelScan.Read(Plan with { Datums = datums }, Scan(), new ScanTargets([.. datums.Select(d => (d, Pose.Of(d.Position)))])).Value, 0.05);
    }

    [Fact]
    public void Said_to_be_in_the_plan_s_axes_when_it_is_not_it_is_refused()
    {
        InputProblem problem = Assert.Single(ChannelScan.Read(Plan, Scan()).Problems);
        Assert.Equal("scan.ply: expected a scan that shows a channel, in the plan's axes or with targets, found 'no points on the floor of any channel'. Give --targets or --door to register it, or --unit where it is not in mm.", problem.ToString());
    }

    private static void Check(ScannedChannels found, double tolerance)
    {
        DrainResult result = DrainPlan.Run(Plan, build: "T1", scan: found).Value;
        Pond pond = Assert.Single(result.Channels[0].Attitudes[0].Water.Ponds);
        Assert.Equal("4", pond.LowPoint);
        // The sag less what the next point towards the outlet lies lower.
        Near.Absolute(SagMm - 1, pond.DepthMm!.Value, tolerance);
    }

    // A floor inside the door's sill, seven points 80 mm apart, falling 1 mm from each to the next.
    private static Channel Along(Door door)
    {
        Point3 centre = door.Centre;
        double low = door.Stations.Min(s => s.Position.Z), inward = Math.Sign(-centre.Y);
        return new("sill", door.Code, [.. Enumerable.Range(0, 7).Select(i => new ChannelPoint($"{i + 1}", new(centre.X - 240 + 80 * i, centre.Y + 120 * inward, low + 60 - i), ChannelShape.Rectangular, 12, 8, null, 0.01,
            i == 6 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, null, 0, i + 2))]);
    }

    private static InputFile Scan()
    {
        List<Point3> points = [.. Scene.Points()];
        for (int i = 0; i + 1 < Sill.Points.Count; i++)
        {
            (Point3 a, Point3 b) = (Sill.Points[i].Position, Sill.Points[i + 1].Position);
            double sagA = i == 3 ? SagMm : 0, sagB = i == 2 ? SagMm : 0;
            for (int k = 0; k < 133; k++)
            {
                for (double w = -6; w <= 6; w += 0.6)
                {
                    double share = k / 133.0;
                    points.Add(new(a.X + share * (b.X - a.X), a.Y + w, a.Z + share * (b.Z - a.Z) - sagA - share * (sagB - sagA)));
                }
            }
        }
        return InputFile.FromBytes("scan.ply", ScanFiles.PlyBinary([.. points.Select(Pose.Of)], big: false, wide: false));
    }
}
