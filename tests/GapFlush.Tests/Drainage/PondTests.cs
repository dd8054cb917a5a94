using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

public class PondTests
{
    // An independent flood: the channel cut into 4000 cells, levels lowered from infinity by sweeps until nothing changes. Nothing is shared with the library
    // but the section's area. A cell errs by half its rise in depth, so depths are held to the steepest rise of a cell and volumes to the water that depth covers.
    [Fact]
    public void Ponds_agree_with_a_raster_flood_on_300_random_channels()
    {
        int wet = 0, byLip = 0;
        Cases.Each(300, random =>
        {
            Channel channel = RandomFloors.Channel(random);
            Attitude attitude = RandomFloors.Attitude(random);
            ChannelWater water = new FloorNetwork([ChannelFloor.Nominal(channel)]).In(attitude).Channels[0];
            RasterFlood raster = RasterFlood.Of(channel, UpVector.For(attitude));
            if (raster.Endless)
            {
                Assert.Null(water.PondDepthMm);
                return;
            }
            Near.Absolute(raster.DepthMm, water.PondDepthMm!.Value, raster.ErrorMm + 1e-9);
            Near.Absolute(raster.VolumeMl, water.PondVolumeMl!.Value, raster.VolumeErrorMl + 1e-9);
            Near.Absolute(raster.LengthMm, water.Ponds.Sum(p => p.LengthMm), raster.LengthErrorMm);
            if (water.PondDepthMm > 0.1) wet++;
            byLip += water.Ponds.Count(p => p.HeldBy == PondHeldBy.Lip);
        });
        Assert.InRange(wet, 100, 290);   // the cases are of both kinds
        Assert.InRange(byLip, 30, 1000);
    }

    [Fact]
    public void A_planted_sag_holds_what_its_triangle_says()
    {
        // Floor 0, -3, 0 over 2 x 200 mm, 10 mm wide, outlets at both ends: depth 3 mm, volume 10 x 3 x 400 / 2 = 6000 mm³.
        ChannelWater water = Sag(lip: null).In(UpVector.For(0, 0)).Channels[0];
        Pond pond = Assert.Single(water.Ponds);
        Near.Absolute(3, pond.DepthMm!.Value, 1e-12);
        Near.Absolute(6, pond.VolumeMl!.Value, 1e-12);
        Assert.Equal(("V2", PondHeldBy.Floor, 400.0), (pond.LowPoint, pond.HeldBy, pond.LengthMm));
        Assert.Equal([true, false], water.Runs.Select(r => r.IsReversed).Order().Reverse());
    }

    // The worked example of METHOD.md.
    [Theory]
    [InlineData(0, 3.00, 6.00)]
    [InlineData(0.5, 1.25, 1.59)]
    [InlineData(1, 0, 0)]
    public void The_worked_example_holds(double pitchDeg, double depthMm, double volumeMl)
    {
        ChannelWater water = Sag(lip: null).In(UpVector.For(pitchDeg, 0)).Channels[0];
        Near.Absolute(depthMm, water.PondDepthMm!.Value, 0.005);
        Near.Absolute(volumeMl, water.PondVolumeMl!.Value, 0.005);
        if (pitchDeg == 1) Near.Absolute(7.0, water.HeightRangeMm, 0.05);
    }

    [Fact]
    public void The_lip_ends_a_pond_below_its_sill()
    {
        Pond pond = Assert.Single(Sag(lip: 1).In(UpVector.For(0, 0)).Channels[0].Ponds);
        Near.Absolute(1, pond.DepthMm!.Value, 1e-12);
        Assert.Equal(PondHeldBy.Lip, pond.HeldBy);
        Assert.Equal(0, pond.DepthUncertaintyMm);
    }

    [Fact]
    public void Water_that_nothing_holds_has_no_depth()
    {
        Channel closed = new("G", null, [Point("V1", 0, 0), Point("V2", 100, -1)]);
        ChannelWater water = new FloorNetwork([ChannelFloor.Nominal(closed)]).In(UpVector.For(0, 0)).Channels[0];
        Assert.Null(water.PondDepthMm);
        Assert.Null(water.FallMm);
        Assert.All(water.Runs, r => Assert.Null(r.SlopePercent));
    }

    [Fact]
    public void A_branch_ponds_behind_the_channel_it_runs_into()
    {
        // The main floor rises by 2 mm from the joint to its outlet; a branch comes down to the joint. The pond reaches up the branch.
        Channel main = new("M", null, [Point("M1", 0, 0), Point("M2", 200, 2, ChannelOutlet.OpenEnd)]);
        Channel branch = new("B", null, [Point("B1", 0, 4, y: 200), Point("B2", 0, 0)]);
        StandingWater water = new FloorNetwork([ChannelFloor.Nominal(main), ChannelFloor.Nominal(branch)]).In(UpVector.For(0, 0));
        Near.Absolute(2, water.Channels[0].PondDepthMm!.Value, 1e-12);
        Pond up = Assert.Single(water.Channels[1].Ponds);
        Near.Absolute(2, up.DepthMm!.Value, 1e-12);
        // Half the run of the branch, to rounding of its slightly shorter horizontal run.
        Near.Absolute(Math.Sqrt(200 * 200) / 2, up.LengthMm, 1e-9);
        Assert.Equal("M/M2", water.Channels[1].Runs[0].DrainsTo);
        Assert.True(water.Channels[0].Runs[0].IsReversed);
        Assert.False(water.Channels[1].Runs[0].IsReversed);
    }

    [Fact]
    public void Turning_the_order_of_the_points_changes_no_pond() => Cases.Each(100, random =>
    {
        Channel channel = RandomFloors.Channel(random, allowNoLip: false);
        // Section and lip hold from a point on, so the turned channel takes them from the point before; here they are the same all along.
        Channel turned = channel with { Points = [.. channel.Points.Reverse()] };
        Vector3 up = UpVector.For(RandomFloors.Attitude(random));
        ChannelWater one = new FloorNetwork([ChannelFloor.Nominal(channel)]).In(up).Channels[0], other = new FloorNetwork([ChannelFloor.Nominal(turned)]).In(up).Channels[0];
        Near.Absolute(one.PondVolumeMl!.Value, other.PondVolumeMl!.Value, 1e-8);
        Near.Absolute(one.PondDepthMm!.Value, other.PondDepthMm!.Value, 1e-9);
    });

    private static FloorNetwork Sag(double? lip) => new([ChannelFloor.Nominal(new("G", null,
        [Point("V1", 0, 0, ChannelOutlet.OpenEnd, lip), Point("V2", 200, -3, lip: lip), Point("V3", 400, 0, ChannelOutlet.OpenEnd, lip)]))]);

    private static ChannelPoint Point(string name, double x, double z, ChannelOutlet outlet = ChannelOutlet.None, double? lip = null, double y = 0) =>
        new(name, new(x, y, z), ChannelShape.Rectangular, 10, lip, null, 0.010, outlet, null, null, null, 0);

    private sealed record RasterFlood(bool Endless, double DepthMm, double VolumeMl, double LengthMm, double ErrorMm, double VolumeErrorMl, double LengthErrorMm)
    {
        private const int Cells = 4000;

        public static RasterFlood Of(Channel channel, Vector3 up)
        {
            IReadOnlyList<ChannelPoint> points = channel.Points;
            double[] z = [.. points.Select(p => (p.Position - points[0].Position).Dot(up))];
            double[] x = new double[z.Length];
            for (int i = 1; i < z.Length; i++)
            {
                Vector3 d = points[i].Position - points[i - 1].Position;
                x[i] = x[i - 1] + Math.Sqrt(d.Dot(d) - (z[i] - z[i - 1]) * (z[i] - z[i - 1]));
            }
            double cell = x[^1] / Cells, steepest = 0;
            double[] floor = new double[Cells], own = new double[Cells], level = new double[Cells];
            for (int c = 0; c < Cells; c++)
            {
                double at = (c + 0.5) * cell;
                int i = 1;
                while (x[i] < at) i++;
                floor[c] = z[i - 1] + (z[i] - z[i - 1]) * (at - x[i - 1]) / (x[i] - x[i - 1]);
                own[c] = points[0].DepthMm is double lip ? floor[c] + lip * up.Z : double.PositiveInfinity;
                level[c] = double.PositiveInfinity;
                steepest = Math.Max(steepest, Math.Abs(z[i] - z[i - 1]) / (x[i] - x[i - 1]) * cell);
            }
            for (int i = 0; i < z.Length; i++)
            {
                if (points[i].Outlet != ChannelOutlet.None) own[Math.Clamp((int)(x[i] / cell), 0, Cells - 1)] = z[i];
            }
            bool changed = true;
            while (changed)
            {
                changed = false;
                for (int pass = 0; pass < 2; pass++)
                {
                    for (int k = 0; k < Cells; k++)
                    {
                        int c = pass == 0 ? k : Cells - 1 - k;
                        double beside = Math.Min(c > 0 ? level[c - 1] : double.PositiveInfinity, c < Cells - 1 ? level[c + 1] : double.PositiveInfinity);
                        double lowered = Math.Max(floor[c], Math.Min(own[c], beside));
                        if (lowered < level[c]) (level[c], changed) = (lowered, true);
                    }
                }
            }
            if (level.Any(double.IsPositiveInfinity)) return new(true, 0, 0, 0, 0, 0, 0);
            ChannelSection section = ChannelSection.For(points[0], out _)!;
            double depth = 0, volume = 0, length = 0, wetEdges = 0, deepest = 0;
            for (int c = 0; c < Cells; c++)
            {
                double d = level[c] - floor[c];
                depth = Math.Max(depth, d);
                if (d > 0) (volume, length) = (volume + section.Area(d) * cell, length + cell);
                if (c > 0 && d > 0 != level[c - 1] - floor[c - 1] > 0) wetEdges++;
                deepest = Math.Max(deepest, d);
            }
            // A level off by one cell's rise moves every wet edge by the rise over the slope there; flat runs may be wet or dry as a whole, hence the span of slopes.
            double flattest = Enumerable.Range(1, z.Length - 1).Min(i => Math.Abs(z[i] - z[i - 1]) / (x[i] - x[i - 1]));
            double lengthError = (wetEdges + 2) * (cell + 2 * steepest / Math.Max(flattest, 1e-12));
            return new(false, depth, volume / 1000, length, 2 * steepest, (section.TopWidth(deepest + steepest) * 2 * steepest * (length + 2 * cell) + section.Area(deepest + steepest) * 4 * cell) / 1000,
                Math.Min(lengthError, x[^1]));
        }
    }
}
