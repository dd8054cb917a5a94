using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Channels given in inches or metres: they lie nowhere near their door, and would lie at it in the other unit.</summary>
/// <remarks>Only where they lie tells; a door at the origin of its axes has no channel that can be told so.</remarks>
internal static class ChannelUnits
{
    // A channel of a door lies within one size of the door from it, and a slip of units takes it farther off than two. Common practice, no source.
    private const double AtDoor = 1, FarOff = 2;

    private static readonly (string Name, double Mm)[] Others = [("inches", 25.4), ("metres", 1000), ("centimetres", 10)];

    /// <summary>One problem where the channels of a plan look as if they were all in one other unit.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="source">Name of the file with the channels, for the message.</param>
    public static InputProblem? Problem(FitPlan plan, string source)
    {
        (Channel Channel, Door Door)[] known = [.. plan.Channels.Where(c => c.Points.Count > 0).Select(c => (c, c.Door is null ? null : plan.FindDoor(c.Door))).Where(k => k.Item2 is not null).Select(k => (k.c, k.Item2!))];
        if (known.Length == 0 || known.Any(k => Off(k.Channel, k.Door, 1, nearest: true) < FarOff)) return null;
        foreach ((string name, double mm) in Others)
        {
            if (known.Any(k => Off(k.Channel, k.Door, mm, nearest: false) > AtDoor)) continue;
            (Channel channel, Door door) = known[0];
            ChannelPoint point = channel.Points[0];
            return new(source, point.Line, "x,y,z", Invariant($"{point.Position.X}, {point.Position.Y}, {point.Position.Z}"), Invariant($"a place of channel {channel.Name} at door {door.Code}, mm"),
                Invariant($"All channels look like {name}: times {mm} they lie at their doors. Write every length of the file in mm, widths and depths too."));
        }
        return null;
    }

    // How far the nearest or farthest point of a channel lies from the middle of its door, in sizes of the door.
    private static double Off(Channel channel, Door door, double mm, bool nearest)
    {
        double size = 2 * door.Stations.Max(s => s.Position.DistanceTo(door.Centre));
        IEnumerable<double> off = channel.Points.Select(p => new Point3(mm * p.Position.X, mm * p.Position.Y, mm * p.Position.Z).DistanceTo(door.Centre) / size);
        return nearest ? off.Min() : off.Max();
    }
}
