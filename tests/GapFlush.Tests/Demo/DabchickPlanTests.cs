using GapFlush.Demo;
using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Demo;

public class DabchickPlanTests
{
    public static TheoryData<string> Doors => [.. Dabchick.Plan.Doors.Select(d => d.Code)];

    [Theory]
    [MemberData(nameof(Doors))]
    public void Normals_and_tangents_are_unit_and_square_to_each_other(string code)
    {
        foreach (Station s in Dabchick.Plan.FindDoor(code)!.Stations)
        {
            // Written to 8 decimals: each component is off by 5e-9 at most.
            Near.Absolute(1, s.Normal.Length, 1e-8);
            Near.Absolute(1, s.Tangent.Length, 1e-8);
            Near.Absolute(0, s.Normal.Dot(s.Tangent), 2e-8);
            Near.Absolute(1, s.IntoDoor.Length, 1e-12);
        }
    }

    [Theory]
    [MemberData(nameof(Doors))]
    public void The_outline_is_closed_even_and_walked_along_its_tangents(string code)
    {
        Door door = Dabchick.Plan.FindDoor(code)!;
        for (int i = 0; i < door.Stations.Count; i++)
        {
            (Station a, Station b) = (door.Stations[i], door.Stations[(i + 1) % door.Stations.Count]);
            Vector3 step = b.Position - a.Position;
            Assert.InRange(step.Length, 25, 75);
            Vector3 along = step.ToUnit();
            Assert.True(a.Tangent.Dot(along) > 0.85 && b.Tangent.Dot(along) > 0.85, $"{code} {a.Name} to {b.Name} runs against the tangents");
        }
    }

    [Theory]
    [MemberData(nameof(Doors))]
    public void The_way_into_the_door_leads_to_its_middle_and_normals_lead_out(string code)
    {
        Door door = Dabchick.Plan.FindDoor(code)!;
        Assert.All(door.Stations, s =>
        {
            Assert.True(s.IntoDoor.Dot(door.Centre - s.Position) > 0);
            Assert.True(s.Normal.Y * (door.Hand == Hand.Right ? 1 : -1) > 0.7);
        });
    }

    [Theory]
    [MemberData(nameof(Doors))]
    public void Stations_run_clockwise_from_the_lower_forward_corner_as_seen_from_outside(string code)
    {
        Door door = Dabchick.Plan.FindDoor(code)!;
        Assert.Equal("corner-lower-forward", door.Stations[0].Zone);
        Vector3 area = default;
        Point3 centre = door.Centre;
        for (int i = 0; i < door.Stations.Count; i++)
            area += (door.Stations[i].Position - centre).Cross(door.Stations[(i + 1) % door.Stations.Count].Position - centre);
        // Clockwise as seen from outside: the area vector points away from the eye, inboard.
        Assert.True(area.Y * (door.Hand == Hand.Right ? 1 : -1) < 0);
    }

    [Fact]
    public void S1_is_the_mirror_image_of_P1_with_a_walk_of_its_own()
    {
        (Door port, Door starboard) = (Dabchick.Plan.FindDoor("P1")!, Dabchick.Plan.FindDoor("S1")!);
        Assert.Equal(port.Stations.Count, starboard.Stations.Count);
        foreach (Station s in starboard.Stations)
        {
            Station twin = port.Stations.Single(p => p.Position.DistanceTo(new(s.Position.X, -s.Position.Y, s.Position.Z)) < 1e-9);
            Assert.Equal(twin.Zone, s.Zone);
            Assert.Equal(new Vector3(twin.Normal.X, -twin.Normal.Y, twin.Normal.Z), s.Normal);
            Assert.Equal(new Vector3(-twin.Tangent.X, twin.Tangent.Y, -twin.Tangent.Z), s.Tangent);
        }
        Assert.Equal(["corner-lower-forward", "hinge", "corner-upper-forward", "header", "corner-upper-aft", "latch", "corner-lower-aft", "sill"], port.Zones);
        Assert.Equal(["corner-lower-forward", "sill", "corner-lower-aft", "latch", "corner-upper-aft", "header", "corner-upper-forward", "hinge"], starboard.Zones);
    }

    [Fact]
    public void Every_corner_has_three_stations_and_the_plan_about_150()
    {
        Assert.All(Dabchick.Plan.Doors, d => Assert.All(d.Stations.Where(s => s.Zone.StartsWith("corner", StringComparison.Ordinal)).GroupBy(s => s.Zone), g => Assert.Equal(3, g.Count())));
        Assert.Equal(150, Dabchick.Plan.Doors.Sum(d => d.Stations.Count));
    }

    [Fact]
    public void Every_station_has_a_limit_for_gap_flush_land_gap_and_compression_in_every_stage()
    {
        foreach (Door door in Dabchick.Plan.Doors)
            foreach (Station s in door.Stations)
                foreach (Stage stage in Dabchick.Plan.Stages)
                    foreach (Characteristic c in (Characteristic[])[Characteristic.Gap, Characteristic.Flush, Characteristic.LandGap, Characteristic.Compression])
                        Assert.NotNull(Dabchick.Plan.Limits.For(c, door.Code, s.Zone, s.Name, stage.Name)?.Nominal);
    }

    [Fact]
    public void No_two_limits_of_one_station_are_equally_specific()
    {
        foreach (Door door in Dabchick.Plan.Doors)
            foreach (Station s in door.Stations)
                foreach (Stage stage in Dabchick.Plan.Stages)
                    foreach (Characteristic c in Characteristic.All)
                    {
                        LimitRow[] rows = [.. Dabchick.Plan.Limits.Rows.Where(r => r.Covers(c, door.Code, s.Zone, s.Name, stage.Name))];
                        Assert.Equal(rows.Length, rows.Select(r => r.Specificity).Distinct().Count());
                    }
    }

    [Fact]
    public void Sill_channels_fall_both_ways_to_drain_holes_and_hoops_to_open_ends()
    {
        foreach (Channel channel in Dabchick.Plan.Channels)
        {
            IReadOnlyList<ChannelPoint> p = channel.Points;
            int top = Enumerable.Range(0, p.Count).MaxBy(i => p[i].Position.Z);
            Assert.InRange(top, 1, p.Count - 2);
            for (int i = 0; i + 1 < p.Count; i++)
            {
                double rise = p[i + 1].Position.Z - p[i].Position.Z;
                Assert.True(i < top ? rise >= 0 : rise <= 0, $"{channel.Name} {p[i].Name}");
            }
            Assert.NotEqual(ChannelOutlet.None, p[0].Outlet);
            Assert.NotEqual(ChannelOutlet.None, p[^1].Outlet);
        }
    }

    [Fact]
    public void Every_channel_runs_dry_in_every_attitude_of_the_plan_and_keeps_its_least_slope()
    {
        foreach (Channel channel in Dabchick.Plan.Channels)
        {
            FloorNetwork network = new([ChannelFloor.Nominal(channel)]);
            foreach (Attitude attitude in Dabchick.Plan.Attitudes)
            {
                ChannelWater water = network.In(attitude).Channels[0];
                Assert.Empty(water.Ponds);
                Assert.All(water.Runs, r => Assert.True(Math.Abs(r.RiseMm) / r.LengthMm > 0.009, $"{channel.Name}, {attitude.Name}, run {r.Index}"));
            }
        }
    }

    [Fact]
    public void The_skin_points_lie_on_the_doors_they_name()
    {
        foreach (Door door in Dabchick.Plan.Doors)
        {
            Assert.Contains(Dabchick.Plan.Skin, s => s.Door == door.Code);
            Assert.All(Dabchick.Plan.Skin.Where(s => s.Door == door.Code), s =>
            {
                Station nearest = door.Stations.MinBy(t => t.Position.DistanceTo(s.Position))!;
                Assert.True((s.Position - nearest.Position).Dot(nearest.IntoDoor) > 0);
                Near.Absolute(1, s.Normal.Length, 1e-8);
            });
        }
    }
}
