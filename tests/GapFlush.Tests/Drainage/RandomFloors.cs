using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

/// <summary>Random channels of the size of a door gutter, for tests over many cases.</summary>
internal static class RandomFloors
{
    public static Channel Channel(SeededRandom random, string name = "G1", bool allowNoLip = true)
    {
        int count = 3 + random.Below(8);
        bool hasLip = !allowNoLip || random.Unit() < 0.7;
        double width = random.Between(6, 20), depth = random.Between(2, 12), side = random.Between(0.2, 2);
        ChannelShape shape = (ChannelShape)random.Below(4);
        int outlet = random.Below(count);
        Point3 at = new(random.Between(2000, 3000), random.Between(-500, 500), random.Between(500, 1500));
        List<ChannelPoint> points = [];
        for (int i = 0; i < count; i++)
        {
            bool isOutlet = i == outlet || random.Unit() < 0.15;
            points.Add(new($"V{i + 1}", at, shape, width, hasLip ? depth : null, side, 0.010,
                !isOutlet ? ChannelOutlet.None : i == 0 || i == count - 1 ? ChannelOutlet.OpenEnd : ChannelOutlet.Hole, isOutlet ? 8 : null, 0.05, 0.5, i + 2));
            at += new Vector3(random.Between(60, 250), random.Between(-20, 20), random.Between(-8, 8));
        }
        return new(name, "P1", points);
    }

    /// <summary>A channel, and in two of three cases a branch or two that end at one of its points.</summary>
    public static FloorNetwork Network(SeededRandom random)
    {
        Channel main = Channel(random);
        List<ChannelFloor> floors = [ChannelFloor.Nominal(main)];
        for (int b = random.Below(3); b > 0; b--)
        {
            Channel branch = Channel(random, $"B{b}");
            Point3 joint = main.Points[random.Below(main.Points.Count)].Position;
            Vector3 across = new(random.Between(-0.3, 0.3), random.Unit() < 0.5 ? 1 : -1, 0), move = joint - branch.Points[^1].Position;
            // The branch comes in from the side, so that it meets the main channel at its last point only.
            ChannelPoint[] points = [.. branch.Points.Select((p, i) => p with { Position = joint + (branch.Points.Count - 1 - i) * 120 * across + new Vector3(0, 0, (p.Position + move).Z - joint.Z) })];
            floors.Add(ChannelFloor.Nominal(branch with { Points = points }));
        }
        return FloorNetwork.FindRing([.. floors.Select(f => f.Channel)]) is null ? new(floors) : new([floors[0]]);
    }

    public static Attitude Attitude(SeededRandom random) => new("any", random.Between(-4, 4), random.Between(-4, 4));

    public static AttitudeBox Box(SeededRandom random)
    {
        double p = random.Between(-4, 2), q = random.Between(-4, 2);
        return new(p, p + random.Between(0, 5), q, q + random.Between(0, 5));
    }
}
