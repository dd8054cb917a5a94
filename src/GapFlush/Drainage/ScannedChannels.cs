using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>The floors of a plan's channels found in a scan.</summary>
/// <param name="Source">The scan, as the user named it.</param>
/// <param name="Floors">Floor by channel; a channel on whose floor the scan has no points is not there.</param>
public sealed record ScannedChannels(string Source, IReadOnlyDictionary<string, ChannelFloor> Floors)
{
    /// <summary>Finds every channel's floor in one pass over the points.</summary>
    /// <param name="source">The scan, as the user named it.</param>
    /// <param name="channels">The channels, in the plan's axes.</param>
    /// <param name="axes">How the plan's axes lie; the usual ones where null.</param>
    /// <param name="pass">Hands every point of the scan, in the plan's axes and mm, to its argument.</param>
    public static ScannedChannels Find(string source, IReadOnlyList<Channel> channels, AircraftAxes? axes, Action<Action<Point3>> pass)
    {
        List<(string Name, ScannedFloor Finder)> finders = [.. channels.Select(c => (c.Name, new ScannedFloor(c, axes)))];
        pass(point =>
        {
            foreach ((_, ScannedFloor finder) in finders) finder.Add(point);
        });
        Dictionary<string, ChannelFloor> floors = [];
        foreach ((string name, ScannedFloor finder) in finders)
        {
            if (finder.Floor() is ChannelFloor floor) floors[name] = floor;
        }
        return new(source, floors);
    }
}
