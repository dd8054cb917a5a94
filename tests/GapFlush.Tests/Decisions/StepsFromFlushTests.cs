using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Decisions;

public class StepsFromFlushTests
{
    private static readonly Vector3 Aft = new(1, 0, 0);   // air flows aft

    // TRADE section 3: facing = sign(flush) × (+1 on the upstream edge, -1 on the downstream edge); + faces the wind. Edges along the flow count little.
    [Theory]
    [InlineData(Hand.Left, false)]
    [InlineData(Hand.Left, true)]
    [InlineData(Hand.Right, false)]
    [InlineData(Hand.Right, true)]
    public void Polarity_is_right_at_all_four_sides_of_either_hand_walked_either_way(Hand hand, bool backwards)
    {
        Door door = SampleDoor.Make(24, hand, backwards);
        HashSet<string> seen = [];
        foreach (Station s in door.Stations)
        {
            foreach (double flush in (double[])[0.4, -0.4])
            {
                StepsFromFlush steps = StepsFromFlush.At(s, Aft, flush)!;
                (double forward, double aft) = s.Zone switch
                {
                    "forward" => flush > 0 ? (0.4, 0.0) : (0.0, 0.4),   // upstream edge of the door: a proud door faces the wind
                    "aft" => flush > 0 ? (0.0, 0.4) : (0.4, 0.0),       // downstream edge: a proud door faces away, a recessed one shows the surround's face
                    "sill" or "header" => (0.0, 0.0),
                    _ => (steps.ForwardMm, steps.AftMm),
                };
                Near.Absolute(forward, steps.ForwardMm, 1e-12);
                Near.Absolute(aft, steps.AftMm, 1e-12);
                seen.Add(s.Zone);
                if (s.Zone != "corner") continue;
                // Corners belong to the side they face: ahead of the centre upstream, behind it downstream.
                bool upstream = s.Position.X < door.Centre.X;
                Assert.True((flush > 0) == upstream ? steps is { ForwardMm: > 0, AftMm: 0 } : steps is { ForwardMm: 0, AftMm: > 0 });
            }
        }
        Assert.Equal(["aft", "corner", "forward", "header", "sill"], seen.Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(45, 1)]
    [InlineData(59.9, 1)]
    [InlineData(75, 0.5176380902)]     // cos 75° / 0.5
    [InlineData(90, 0)]
    public void A_swept_edge_counts_in_full_up_to_60_degrees_and_then_fades(double sweepDeg, double factor)
    {
        double sweep = sweepDeg * Math.PI / 180;
        Vector3 n = new(0, -1, 0), u = new(Math.Cos(sweep), 0, Math.Sin(sweep));
        Station s = new("1", "forward", default, n, n.Cross(u), u, 0, 0);
        StepsFromFlush steps = StepsFromFlush.At(s, Aft, 0.5)!;
        Near.Absolute(factor, steps.Factor, 1e-9);
        Near.Absolute(0.5 * factor, steps.ForwardMm, 1e-9);
        Assert.Equal(0, steps.AftMm);
    }

    [Fact]
    public void Flow_follows_the_skin_and_has_no_answer_where_it_stands_square_to_it()
    {
        // Skin turned 30° into the flow: the seam is still met square.
        Vector3 n = new(-0.5, -Math.Sqrt(0.75), 0), u = new(Math.Sqrt(0.75), -0.5, 0);
        Near.Absolute(1, StepsFromFlush.At(new("1", "", default, n, n.Cross(u), u, 0, 0), Aft, 0.5)!.Factor, 1e-12);
        Assert.Null(StepsFromFlush.At(new("1", "", default, new(1, 0, 0), new(0, 1, 0), new(0, 0, 1), 0, 0), Aft, 0.5));
    }
}
