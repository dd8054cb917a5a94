using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

public class ScannedFloorTests
{
    [Theory]
    [InlineData(ChannelShape.Rectangular)]
    [InlineData(ChannelShape.Trapezoidal)]
    [InlineData(ChannelShape.Triangular)]
    [InlineData(ChannelShape.HalfRound)]
    public void A_planted_floor_is_recovered_and_covered_as_stated(ChannelShape shape)
    {
        // Noise 0.15 mm, so that the least uncertainty of 0.01 mm plays no part, 2 % strays: of 60 channels of 6 points, 95.45 % within U (k = 2). 360 trials: 91 to 99 % is four standard deviations of a count.
        int covered = 0, all = 0;
        double worst = 0;
        Cases.Each(60, random =>
        {
            (Channel channel, double[] truth, List<Point3> scan) = Make(random, shape);
            ChannelFloor floor = Find(channel, scan)!;
            Assert.Empty(floor.Unmeasured);
            for (int i = 0; i < truth.Length; i++)
            {
                double off = Math.Abs(floor.Points[i].Position.Z - truth[i]);
                worst = Math.Max(worst, off);
                if (off <= 2 * floor.Points[i].HeightUncertaintyMm!.Value) covered++;
                all++;
            }
        });
        Assert.InRange((double)covered / all, 0.91, 0.99);
        Assert.InRange(worst, 0, 0.3);
    }

    [Fact]
    public void A_stretch_without_points_is_named()
    {
        (Channel channel, _, List<Point3> scan) = Make(new(1), ChannelShape.Rectangular);
        scan.RemoveAll(p => Math.Abs(p.X - channel.Points[2].Position.X) < 20);
        Assert.Equal(["3"], Find(channel, scan)!.Unmeasured);
    }

    [Fact]
    public void A_scan_of_something_else_has_no_floor() => Assert.Null(Find(Make(new(1), ChannelShape.Rectangular).Channel, [new(0, 0, 0), new(1, 0, 0)]));

    [Fact]
    public void Turned_axes_find_the_same_floor()
    {
        (Channel channel, _, List<Point3> scan) = Make(new(2), ChannelShape.HalfRound);
        Channel turned = channel with { Points = [.. channel.Points.Select(p => p with { Position = new(-p.Position.X, -p.Position.Y, p.Position.Z) })] };
        ScannedFloor finder = new(turned, AircraftAxes.Read("x forward, y port, z up"));
        foreach (Point3 p in scan) finder.Add(new(-p.X, -p.Y, p.Z));
        ChannelFloor one = Find(channel, scan)!, other = finder.Floor()!;
        for (int i = 0; i < one.Points.Count; i++) Near.Absolute(one.Points[i].Position.Z, other.Points[i].Position.Z, 1e-9);
    }

    private static ChannelFloor? Find(Channel channel, List<Point3> scan)
    {
        ScannedFloor finder = new(channel);
        foreach (Point3 point in scan) finder.Add(point);
        return finder.Floor();
    }

    /// <summary>A channel of six points along x whose true floor lies off the nominal by up to 3 mm, and its scan: floor and walls every 0.7 mm.</summary>
    private static (Channel Channel, double[] Truth, List<Point3> Scan) Make(SeededRandom random, ChannelShape shape)
    {
        const double width = 14, depth = 8, side = 1;
        double[] x = [.. Enumerable.Range(0, 6).Select(i => 2000 + 70.0 * i)], nominal = [.. x.Select((_, i) => 400 - 0.8 * i)];
        double[] truth = [.. nominal.Select(z => z + random.Between(-3, 3))];
        List<Point3> scan = [];
        for (double along = x[0]; along <= x[^1]; along += 0.7)
        {
            int i = Math.Min(4, (int)((along - x[0]) / 70));
            double floor = truth[i] + (truth[i + 1] - truth[i]) * (along - x[i]) / 70;
            for (double u = -width; u <= width; u += 0.7)
            {
                double? over = shape switch
                {
                    ChannelShape.HalfRound => Math.Abs(u) < width / 2 ? width / 2 - Math.Sqrt(width * width / 4 - u * u) : null,
                    ChannelShape.Triangular => Math.Abs(u) / side,
                    ChannelShape.Trapezoidal => Math.Max(0, (Math.Abs(u) - width / 2) / side),
                    _ => Math.Abs(u) <= width / 2 ? 0 : null,
                };
                if (over is not double h || h > depth) continue;
                double stray = random.Unit() < 0.02 ? random.Between(1.5, 6) : 0;
                scan.Add(new(along, -440 + u, floor + h + stray + random.Normal(0, 0.15)));
            }
        }
        return (new("G", null, [.. x.Select((v, i) => new ChannelPoint($"{i + 1}", new(v, -440, nominal[i]), shape, width, depth, side, 0.01, i == 5 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.01, 0.5, i + 2))]), truth, scan);
    }
}
