using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>What one build of the demo is meant to show beyond the shop's ordinary scatter.</summary>
internal sealed class DemoStory
{
    private readonly Dictionary<string, (Vector3 T, Vector3 W)> _displacements = [];
    private readonly List<(string Door, Func<Door, int, double> Flush, Func<Door, int, double> Land)> _local = [];

    /// <summary>The story of a build, or null.</summary>
    public static DemoStory? Of(int sequence) => sequence switch
    {
        // The example of the README: the port door hung aft and low and turned, the starboard door well, the baggage door proud near a limit.
        17 => new DemoStory()
            .Hung("P1", new(0.58, 0.10, -0.20), new(0.25e-3, 1.50e-3, -0.75e-3))
            .Hung("S1", new(0.06, 0.04, -0.05), new(0.10e-3, -0.12e-3, 0.15e-3))
            .Hung("B1", new(-0.22, -0.36, 0.15), new(0.35e-3, 0.8e-3, 1.2e-3)),
        // Where the floor of the sill channel sags, the seal land was bonded low: rain in the pond lies against a seal that hardly touches.
        21 => new DemoStory().LandLow("S1", "sill", 7, 1.95, 55),
        // Turned and bulged: hinges mend the one and not the other.
        26 => new DemoStory().Hung("P1", new(-0.35, -0.20, 0.25), new(0.5e-3, -0.7e-3, 0.8e-3)).Proud("P1", "header", 4, 0.8, 70),
        _ => null,
    };

    /// <summary>The displacement told for a door, or null.</summary>
    public (Vector3 T, Vector3 W)? Displacement(string door) => _displacements.TryGetValue(door, out (Vector3, Vector3) told) ? told : null;

    /// <summary>Local flush told for a station, mm.</summary>
    public double Flush(Door door, int station) => _local.Where(l => l.Door == door.Code).Sum(l => l.Flush(door, station));

    /// <summary>Local land error told for a station, mm.</summary>
    public double Land(Door door, int station) => _local.Where(l => l.Door == door.Code).Sum(l => l.Land(door, station));

    private DemoStory Hung(string door, Vector3 t, Vector3 w)
    {
        _displacements[door] = (t, w);
        return this;
    }

    private DemoStory LandLow(string door, string zone, int place, double heightMm, double widthMm)
    {
        _local.Add((door, (_, _) => 0, (d, i) => At(d, zone, place, heightMm, widthMm, i)));
        return this;
    }

    private DemoStory Proud(string door, string zone, int place, double heightMm, double widthMm)
    {
        _local.Add((door, (d, i) => At(d, zone, place, heightMm, widthMm, i), (_, _) => 0));
        return this;
    }

    private static double At(Door door, string zone, int place, double heightMm, double widthMm, int station) =>
        PartModel.Bump(door, door.Stations.Where(s => s.Zone == zone).ElementAt(place).Index, heightMm, widthMm)(station);
}
