using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Drainage;

/// <summary>Lays measured levels over the channels of the plan.</summary>
public static class MeasuredFloors
{
    /// <summary>The floor of a channel as measured; null where fewer than two of its points were.</summary>
    /// <remarks>A point that was not measured is left out and the floor taken straight past it: nothing is put in from the plan, because a measured height and a
    /// nominal one may be of two datums. It is named in <see cref="ChannelFloor.Unmeasured"/>.</remarks>
    /// <param name="channel">The channel, in the plan's axes.</param>
    /// <param name="levels">The levels of one build.</param>
    /// <param name="axes">How the plan's axes lie.</param>
    public static ChannelFloor? Of(Channel channel, LevelLog levels, AircraftAxes axes)
    {
        Dictionary<string, ChannelLevel> measured = levels.Levels.Where(l => l.Channel == channel.Name).ToDictionary(l => l.Point);
        List<FloorPoint> points = [];
        List<string> unmeasured = [];
        foreach (ChannelPoint point in channel.Points)
        {
            if (!measured.TryGetValue(point.Name, out ChannelLevel? level))
            {
                unmeasured.Add(point.Name);
                continue;
            }
            Point3 place = new(level.X ?? point.Position.X, level.Y ?? point.Position.Y, level.Z);
            points.Add(new(point with { Position = axes.Turn(point.Position) }, axes.Turn(place), level.StandardUncertaintyMm));
        }
        return points.Count < 2 ? null : new(axes.Turn(channel), points, isMeasured: true, unmeasured);
    }
}
