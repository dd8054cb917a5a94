using GapFlush.Decisions;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>The stations of one zone of a door, as its range and taper need them.</summary>
internal sealed class StudiedZone
{
    /// <summary>Prepares a zone.</summary>
    public StudiedZone(Door door, string zone)
    {
        Station[] stations = [.. door.Stations.Where(s => s.Zone == zone)];
        Stations = Array.ConvertAll(stations, s => s.Index);
        Along = GapOverZone.AlongRun(door, stations);
    }

    /// <summary>Indices of its stations.</summary>
    public int[] Stations { get; }

    /// <summary>Developed length within the zone, or null where it is not one run of stations.</summary>
    public double[]? Along { get; }
}
