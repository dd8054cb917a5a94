using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Decisions;

public class TwistTests
{
    [Theory]
    [InlineData(Hand.Left, false)]
    [InlineData(Hand.Right, true)]
    public void The_corner_stations_of_a_plan_that_names_corners_are_among_them(Hand hand, bool backwards)
    {
        Door door = SampleDoor.Make(32, hand, backwards);
        IReadOnlyList<Station> corners = Twist.Corners(door)!;
        Assert.Equal(4, corners.Count);
        Assert.All(corners, s => Assert.Equal("corner", s.Zone));
        Assert.Equal(corners.OrderBy(s => s.Index), corners);
        // One in each quarter of the door.
        Assert.Equal(4, corners.Select(s => (s.Position.X > door.Centre.X, s.Position.Z > door.Centre.Z)).Distinct().Count());
    }

    [Fact]
    public void Without_named_corners_the_largest_quadrilateral_decides()
    {
        Door door = SampleDoor.Make(32);
        Door plain = door with { Stations = [.. door.Stations.Select(s => new Station(s.Name, "rim", s.Position, s.Normal, s.Tangent, s.IntoDoor, s.Index, s.AlongMm))] };
        IReadOnlyList<Station> found = Twist.Corners(plain)!;
        // Held against every choice of four.
        double largest = 0;
        for (int a = 0; a < 29; a++)
            for (int b = a + 1; b < 30; b++)
                for (int c = b + 1; c < 31; c++)
                    for (int d = c + 1; d < 32; d++) largest = Math.Max(largest, Area(plain.Stations[a], plain.Stations[b], plain.Stations[c], plain.Stations[d]));
        Near.Digits(largest, Area(found[0], found[1], found[2], found[3]), 5);

        static double Area(Station a, Station b, Station c, Station d) => Math.Abs((c.Position - a.Position).Cross(d.Position - b.Position).Y) / 2;
    }

    [Fact]
    public void A_displacement_of_a_flat_door_has_no_twist() => Cases.Each(100, random =>
    {
        Door door = SampleDoor.Make(32, barrelMm: double.PositiveInfinity);
        SmallDisplacement moved = new(Small(random, 1), Small(random, 0.002), door.Centre);
        Measurement twist = Of(door, s => SeamDeviation.OfFlush(s, 0).Explained(moved));
        // The four are a rectangle, the only case in which nothing at all is left.
        Near.Absolute(0, twist.Value!.Value, 1e-12);
    });

    [Fact]
    public void A_twisted_door_shows_the_sum_of_its_corners_with_their_uncertainty()
    {
        Door door = SampleDoor.Make(32);
        IReadOnlyList<Station> c = Twist.Corners(door)!;
        Measurement twist = Of(door, s => s == c[0] ? 0.3 : s == c[1] ? -0.2 : s == c[2] ? 0.1 : s == c[3] ? -0.4 : 9);
        Near.Absolute(1.0, twist.Value!.Value, 1e-12);
        Near.Absolute(2 * 0.05 * 2, twist.ExpandedUncertainty!.Value, 1e-12);   // four times 0.05 in quadrature, k = 2
        Assert.Equal($"flush at {c[0].Name} - {c[1].Name} + {c[2].Name} - {c[3].Name}", twist.Reason);
        Assert.True(twist is { Station: null, Zone: null, Definition: "mid-gap" });
    }

    [Fact]
    public void A_missing_corner_leaves_no_twist()
    {
        Door door = SampleDoor.Make(32);
        Station gone = Twist.Corners(door)![1];
        Measurement twist = Of(door, s => s == gone ? null : 0);
        Assert.Null(twist.Value);
        Assert.Equal($"no flush at corner station {gone.Name}", twist.Reason);
        Assert.Null(Twist.Corners(SampleDoor.Make(3)));
        Assert.Equal("a twist needs four stations", Of(SampleDoor.Make(3), _ => 0).Reason);
    }

    private static Vector3 Small(SeededRandom random, double size) => new(random.Normal(0, size), random.Normal(0, size), random.Normal(0, size));

    private static Measurement Of(Door door, Func<Station, double?> flush) =>
        Twist.Of(door, door.Stations.Where(s => flush(s) is not null).ToDictionary(s => s.Name, s => SamplePlan.Measured(door, s.Index, Characteristic.Flush, flush(s)!.Value)), "007", null);
}
