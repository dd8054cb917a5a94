using GapFlush.Drainage;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

public class NetworkFlowTests
{
    private static readonly RainIntensity Rain = new(75);

    [Fact]
    public void A_straight_channel_carries_what_Manning_says_at_its_lip()
    {
        // 12 x 6 mm at 1 %, n = 0.010: 0.01497660352597371 L/s, case m01 of the outside values.
        ChannelFlow flow = Of(Straight(catchment: 0.05), Rain);
        Near.Digits(0.01497660352597371, flow.CapacityLPerS!.Value, 9);
        Near.Digits(75.0 / 3600 * 0.05, flow.InflowLPerS!.Value, 12);
        Assert.Equal("run V1 to V2", flow.CapacitySetBy);
        Assert.True(flow.IsGuess);   // Re = 2486
    }

    [Fact]
    public void Overflow_is_where_the_surface_touches_the_lip()
    {
        ChannelFlow flow = Of(Straight(catchment: 0.5), Rain);
        double rain = flow.OverflowRainMmPerH!.Value;
        // All water enters at the head: a reach of one flow, whose head depth must be the lip.
        double litres = new RainIntensity(rain).LitresPerSecond(0.5);
        WaterProfile profile = WaterProfile.Solve([new(1, 0.01, new RectangularSection(0.012), 0.010, litres / 1000, litres / 1000)]);
        Near.Absolute(0.006, profile.Depth.Max(), 0.00002);
        Assert.Equal(Math.Max(0, Rain.LitresPerSecond(0.5) - litres), flow.OverflowLPerS!.Value, 12);
    }

    [Fact]
    public void What_goes_over_is_the_rest()
    {
        ChannelFlow small = Of(Straight(catchment: 0.05), Rain), large = Of(Straight(catchment: 5), Rain);
        Assert.Equal(0, small.OverflowLPerS);
        Assert.True(large.OverflowLPerS > 0.05, $"{large}");
        // A hundred times the catchment, a hundredth of the rain.
        Near.Digits(small.OverflowRainMmPerH!.Value / 100, large.OverflowRainMmPerH!.Value, 2);
    }

    [Fact]
    public void A_pond_at_the_lip_goes_over_in_any_rain()
    {
        // The floor rises by 20 mm to its only outlet; the lip stands 6 mm high.
        Channel channel = Channel([Point("V1", 0, 0, 0.1), Point("V2", 500, 20, 0, ChannelOutlet.OpenEnd)]);
        ChannelFlow flow = Of(channel, Rain);
        Assert.Equal((0.0, "V1"), (flow.OverflowRainMmPerH!.Value, flow.OverflowAt));
        Assert.Null(flow.CapacityLPerS);
        Assert.Equal("run V1 to V2 does not fall to its outlet", flow.CapacitySetBy);
        Near.Digits(flow.InflowLPerS!.Value, flow.OverflowLPerS!.Value, 9);
    }

    [Fact]
    public void In_a_drizzle_the_surface_is_that_of_the_ponds() => Cases.Each(40, random =>
    {
        Channel channel = RandomFloors.Channel(random, allowNoLip: false);
        channel = channel with { Points = [.. channel.Points.Select(p => p with { DepthMm = 100, OutletDiameterMm = 20 })] };
        StandingWater standing = new FloorNetwork([ChannelFloor.Nominal(channel)]).In(UpVector.For(RandomFloors.Attitude(random)));
        ChannelFlow flow = new NetworkFlow(standing).Of(0, new(0.001));
        ChannelWater water = standing.Channels[0];
        for (int i = 0; i < channel.Points.Count; i++) Near.Absolute(water.LevelMm[i] - water.HeightMm[i], flow.DepthMm[i], 0.25);
    });

    [Fact]
    public void A_high_point_sends_half_its_catchment_each_way()
    {
        Channel channel = Channel([Point("V1", 0, 0, 0, ChannelOutlet.OpenEnd), Point("V2", 500, 5, 0.2), Point("V3", 1000, 0, 0, ChannelOutlet.OpenEnd)]);
        ChannelFlow half = Of(channel, Rain), whole = Of(Straight(catchment: 0.2), Rain);
        // Each side is the straight channel with half the water, so twice the capacity.
        Near.Digits(2 * whole.CapacityLPerS!.Value, half.CapacityLPerS!.Value, 9);
    }

    [Fact]
    public void A_small_hole_sets_the_capacity_and_may_hold_water_up()
    {
        Channel channel = Channel([Point("V1", 0, 10, 0.05), Point("V2", 500, 0, 0, ChannelOutlet.Hole, hole: 3)]);
        ChannelFlow flow = Of(channel, Rain);
        // Case o05 of the outside values: 3 mm hole, 6 mm head, 0.001503401714259189 L/s, hold-up 9.915893983142079 mm.
        Near.Digits(0.001503401714259189, flow.CapacityLPerS!.Value, 9);
        Assert.Equal("hole V2", flow.CapacitySetBy);
        Near.Digits(9.915893983142079, Assert.Single(flow.Holes).HoldUpMm, 9);
        Assert.Equal(0, flow.Holes[0].EmptyingS);   // held up before it starts
    }

    [Fact]
    public void A_level_trough_empties_in_the_time_of_the_closed_form()
    {
        // 400 x 12 mm trough, 8 mm hole: 40 mm down to 10 mm, where the orifice governs throughout (change-over at 3.0 mm).
        Channel channel = Channel([Point("V1", 0, 0, 0, lip: 40), Point("V2", 400, 0, 0.1, ChannelOutlet.Hole, hole: 8, lip: 40)]);
        double all = Of(channel, Rain).Holes[0].EmptyingS!.Value;
        double held = Water.At20C.HoldUpHeadMm(8);
        Near.Digits(DrainHole.Round(8).EmptyingTime(0.400 * 0.012, 40, held), all, 3);
    }

    [Fact]
    public void A_branch_adds_its_water_to_the_channel_it_runs_into()
    {
        Channel main = Channel([Point("M1", 0, 10, 0), Point("M2", 500, 5, 0.05), Point("M3", 1000, 0, 0, ChannelOutlet.OpenEnd)], "M");
        Channel branch = Channel([Point("B1", 500, 12, 0.15, y: 400), Point("B2", 500, 5, 0)], "B");
        StandingWater standing = new FloorNetwork([ChannelFloor.Nominal(main), ChannelFloor.Nominal(branch)]).In(UpVector.For(0, 0));
        NetworkFlow network = new(standing);
        // The lower run of the main carries 0.20 m² for 0.05 m² of its own: its capacity for own inflow is a quarter of its Manning flow.
        Near.Digits(0.01497660352597371 / 4, network.Of(0, Rain).CapacityLPerS!.Value, 4);
        // The main's surface stands at least as high at the joint as the branch's lower end.
        Near.Digits(network.Of(0, Rain).DepthMm[1], network.Of(1, Rain).DepthMm[1], 9);
    }

    [Fact]
    public void Without_widths_or_catchments_there_is_no_flow_to_tell()
    {
        Channel none = Channel([Point("V1", 0, 10, 0), Point("V2", 1000, 0, 0, ChannelOutlet.OpenEnd)]);
        ChannelFlow flow = Of(none, Rain);
        Near.Digits(0.01497660352597371, flow.CapacityLPerS!.Value, 9);
        Assert.Null(flow.InflowLPerS);
        Assert.Null(flow.OverflowRainMmPerH);
        ChannelFlow bare = Of(none with { Points = [.. none.Points.Select(p => p with { WidthMm = null })] }, Rain);
        Assert.Null(bare.CapacityLPerS);
        Assert.Equal("width or depth of run V1 to V2 is not given", bare.CapacitySetBy);
    }

    private static ChannelFlow Of(Channel channel, RainIntensity rain) => new NetworkFlow(new FloorNetwork([ChannelFloor.Nominal(channel)]).In(UpVector.For(0, 0))).Of(0, rain);

    private static Channel Straight(double catchment) => Channel([Point("V1", 0, 10, catchment), Point("V2", 1000, 0, 0, ChannelOutlet.OpenEnd)]);

    private static Channel Channel(IReadOnlyList<ChannelPoint> points, string name = "G") => new(name, null, points);

    private static ChannelPoint Point(string name, double x, double z, double catchment, ChannelOutlet outlet = ChannelOutlet.None, double? hole = null, double lip = 6, double y = 0) =>
        new(name, new(x, y, z), ChannelShape.Rectangular, 12, lip, null, 0.010, outlet, hole, catchment, 0.5, 0);
}
