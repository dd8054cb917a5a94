using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

public class ChannelChecksTests
{
    [Fact]
    public void A_sound_channel_raises_nothing() => Assert.Empty(ChannelChecks.Problems([Channel("G", (0, 0), (100, 0), (200, 10), (200, 100))], "channels.csv"));

    [Fact]
    public void Points_out_of_order_are_named()
    {
        string problem = Assert.Single(ChannelChecks.Problems([Channel("G", (0, 0), (200, 0), (100, 1), (300, 0))], "channels.csv")).ToString();
        Assert.Equal("channels.csv:4: column point: expected points in the order in which they follow one another along the channel, found 'V3'. Channel G turns back by 179 degrees at point V2; put its rows in order.", problem);
    }

    [Fact]
    public void A_closed_loop_is_named()
    {
        string problem = Assert.Single(ChannelChecks.Problems([Closed()], "channels.csv")).ToString();
        Assert.StartsWith("channels.csv:6: column point: expected a channel that runs from one end to another, found 'V5'. Channel G comes back", problem);
    }

    [Fact]
    public void A_ring_of_two_channels_is_named()
    {
        string problem = Assert.Single(ChannelChecks.Problems([Channel("A", (0, 0), (100, 0), (100, 100)), Channel("B", (0, 0), (0, 100), (100, 100))], "channels.csv")).ToString();
        Assert.Contains("channels that join like the branches of a tree, found 'V3'. Channel B closes a ring", problem);
    }

    [Fact]
    public void A_channel_without_an_outlet_is_named()
    {
        Channel closed = Channel("G", (0, 0), (100, 0)) is var c ? c with { Points = [.. c.Points.Select(p => p with { Outlet = ChannelOutlet.None })] } : c;
        string problem = Assert.Single(ChannelChecks.Problems([closed], "channels.csv")).ToString();
        Assert.StartsWith("channels.csv:2: column outlet: expected an outlet of channel G, or of a channel it runs into, found nothing.", problem);
    }

    [Fact]
    public void A_branch_may_leave_its_outlet_to_the_channel_it_runs_into()
    {
        Channel branch = Channel("B", (100, 300), (100, 0)) is var c ? c with { Points = [.. c.Points.Select(p => p with { Outlet = ChannelOutlet.None })] } : c;
        Assert.Empty(ChannelChecks.Problems([Channel("A", (0, 0), (100, 0), (200, 0)), branch], "channels.csv"));
    }

    [Fact]
    public void A_plan_without_channels_is_told_so() => Assert.Contains("at least one channel", Assert.Single(ChannelChecks.Problems([], "channels.csv")).ToString());

    [Theory]
    [InlineData("x aft, y starboard, z up", 1, 2, 3)]
    [InlineData("x forward, y port, z up", -1, -2, 3)]
    [InlineData("X: forward; Y: right; Z: down", -1, 2, -3)]
    [InlineData("z up, x starboard, y forward", -2, 1, 3)]
    public void Axes_are_read_from_their_words(string words, double x, double y, double z) => Assert.Equal(new Point3(x, y, z), AircraftAxes.Read(words)!.Turn(new Point3(1, 2, 3)));

    [Theory]
    [InlineData("x aft, y port, z up")]       // left-handed
    [InlineData("x aft, y up")]
    [InlineData("aircraft axes as usual")]
    [InlineData("x aft, y aft, z up")]
    public void Axes_that_do_not_say_are_not_guessed(string words) => Assert.Null(AircraftAxes.Read(words));

    private static Channel Closed() => Channel("G", (0, 0), (100, 0), (100, 100), (0, 100), (0, 0)) is var c ? c with { Points = [.. c.Points.Select(p => p with { Position = p.Position with { Z = 400 } })] } : c;

    private static Channel Channel(string name, params (double X, double Y)[] places) => new(name, null, [.. places.Select((p, i) =>
        new ChannelPoint($"V{i + 1}", new(p.X, p.Y, 400 - i), ChannelShape.Rectangular, 12, 6, null, 0.01, i == places.Length - 1 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.01, 0.5, i + 2))]);
}
