using GapFlush.Drainage;

namespace GapFlush.Tests.Drainage;

public class ChannelFlowTests
{
    public static TheoryData<ChannelSection, double> Sections => new()
    {
        { new RectangularSection(0.012), 0.006 },
        { new TrapezoidalSection(0.010, 0.5), 0.008 },
        { new TriangularSection(1, 0.3), 0.010 },
        { new HalfRoundSection(0.009), 0.009 },
        { new HalfRoundSection(0.009), 0.013 },
        { new PipeSection(0.009), 0.012 },
    };

    [Theory]
    [MemberData(nameof(Sections))]
    public void First_moment_is_the_integral_of_the_area_and_top_width_its_slope(ChannelSection section, double depth)
    {
        const int steps = 20_000;
        double sum = 0;
        for (int i = 0; i < steps; i++) sum += section.Area((i + 0.5) * depth / steps) * depth / steps;
        Near.Digits(sum, section.FirstMoment(depth), 7);
        double h = depth * 1e-5;
        Near.Digits(section.TopWidth(depth), (section.Area(depth + h) - section.Area(depth - h)) / (2 * h), 4);
    }

    [Theory]
    [MemberData(nameof(Sections))]
    public void Volume_is_the_same_by_either_of_its_two_rules(ChannelSection section, double depth)
    {
        // Depths 1.0 % apart go by Simpson, 1.1 % apart by the exact integral: the volumes must run on smoothly, both held to a fine sum.
        foreach (double apart in new[] { 0, 0.0099, 0.0101, 0.5, 1 })
        {
            double low = depth * (1 - apart), sum = 0;
            const int steps = 20_000;
            for (int i = 0; i < steps; i++) sum += section.Area(low + (depth - low) * (i + 0.5) / steps) / steps;
            Near.Digits(0.3 * sum, section.Volume(0.3, low, depth), 7);
        }
    }

    [Theory]
    [MemberData(nameof(Sections))]
    public void Normal_depth_carries_the_flow_it_was_asked_for(ChannelSection section, double depth)
    {
        double flow = UniformFlow.FlowAt(section, depth, 0.010, 0.01);
        UniformFlow found = UniformFlow.AtFlow(section, flow, 0.010, 0.01)!;
        Near.Digits(depth, found.Depth, 12);
        double critical = found.Critical!.Depth, area = section.Area(critical);
        Near.Digits(Water.At20C.Gravity * area * area * area, flow * flow * section.TopWidth(critical), 11);
    }

    [Fact]
    public void A_flow_beyond_the_rim_has_no_normal_depth() => Assert.Null(UniformFlow.AtFlow(new HalfRoundSection(0.006), 0.0003, 0.010, 0.005, rim: 0.006));

    [Fact]
    public void A_hole_has_the_head_that_passes_the_flow() => Cases.Each(300, random =>
    {
        DrainHole hole = DrainHole.Round(random.Between(2, 12));
        double flow = random.Between(1e-5, 0.03);
        Near.Digits(flow, hole.Flow(hole.HeadFor(flow)), 12);
    });

    // The ratio 1.5289 is that of the frictionless theory for a half round full at its head (reference group gutter_capacity); a rectangle has √3.
    [Theory]
    [InlineData("half-round", 1.528916048420463)]
    [InlineData("rectangular", 1.7320508075688772)]
    [InlineData("triangular", 1.357208808297453)]
    public void A_level_smooth_channel_has_the_head_depth_of_theory(string shape, double ratio)
    {
        // Full at the head: the end depth is the head depth over the ratio, and the flow is critical there.
        const double head = 0.010;
        ChannelSection section = shape switch { "half-round" => new HalfRoundSection(head), "rectangular" => new RectangularSection(head), _ => new TriangularSection(1, 1) };
        double end = head / ratio, area = section.Area(end);
        double flow = Math.Sqrt(Water.At20C.Gravity * area * area * area / section.TopWidth(end));
        WaterProfile profile = WaterProfile.Solve([new(0.9, 0, section, 1e-6, 0, flow)]);
        Near.Digits(head, profile.HeadDepth, 6);
        Assert.True(profile.IsSubcritical);
    }

    [Fact]
    public void A_long_channel_of_one_flow_runs_at_its_normal_depth_far_from_the_outlet()
    {
        RectangularSection section = new(0.02);
        UniformFlow normal = UniformFlow.AtFlow(section, 0.00005, 0.010, 0.005)!;
        WaterProfile profile = WaterProfile.Solve([new(20, 0.005, section, 0.010, 0.00005, 0.00005)], steps: 4000);
        Near.Digits(normal.Depth, profile.HeadDepth, 6);
    }

    [Fact]
    public void Cutting_a_reach_in_two_changes_nothing()
    {
        HalfRoundSection section = new(0.01);
        WaterProfile whole = WaterProfile.Solve([new(0.8, 0.004, section, 0.010, 0, 0.00006)]);
        WaterProfile cut = WaterProfile.Solve([new(0.3, 0.004, section, 0.010, 0, 0.0000225), new(0.5, 0.004, section, 0.010, 0.0000225, 0.00006)]);
        Near.Digits(whole.HeadDepth, cut.HeadDepth, 6);
    }

    [Fact]
    public void A_steep_channel_says_that_it_does_not_stay_subcritical() =>
        Assert.False(WaterProfile.Solve([new(0.9, 0.2, new RectangularSection(0.015), 0.010, 0, 0.00005)]).IsSubcritical);

    [Fact]
    public void A_dry_channel_behind_a_pool_stays_dry_above_its_level()
    {
        // 5 mm of pool at the outlet, no flow, floor rising by 10 mm: level water, then none.
        WaterProfile profile = WaterProfile.Solve([new(1, 0.010, new RectangularSection(0.01), 0.010, 0, 0)], outletDepth: 0.005);
        Assert.Equal(0, profile.HeadDepth);
        int middle = profile.Distance.ToList().FindIndex(d => d >= 0.75);
        Near.Absolute(0.005 - 0.010 * (1 - profile.Distance[middle]), profile.Depth[middle], 1e-6);
    }
}
