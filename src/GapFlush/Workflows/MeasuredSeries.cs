using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>What one series of builds is about: one place, characteristic, definition and stage, one pair of mould revisions. Never mixed.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Zone">Zone, or null for a value of the whole door.</param>
/// <param name="Station">Station, or null for a value of a zone or door.</param>
/// <param name="Characteristic">What is measured.</param>
/// <param name="Definition">Definition code, or null.</param>
/// <param name="Stage">Stage, or null.</param>
/// <param name="DoorMould">Revision of the door mould, or null where unknown or where revisions are taken together.</param>
/// <param name="SurroundMould">Revision of the surround mould, or null where unknown or where revisions are taken together.</param>
public sealed record SeriesKey(string Door, string? Zone, string? Station, Characteristic Characteristic, string? Definition, string? Stage, string? DoorMould, string? SurroundMould)
{
    /// <summary>The place in words: door and station, zone, or nothing more.</summary>
    public string PlaceWords => Station is not null ? $"{Door} {Station}" : Zone is not null ? $"{Door} {Zone}" : Door;

    /// <summary>The mould revisions in words; empty where they are not told apart.</summary>
    public string MouldWords => (DoorMould, SurroundMould) switch
    {
        (null, null) => "",
        (string d, null) => $"door mould {d}",
        (null, string s) => $"surround mould {s}",
        (string d, string s) => $"door mould {d}, surround mould {s}",
    };
}

/// <summary>A series: one measurement a build, in order of making.</summary>
/// <param name="Key">What it is about.</param>
/// <param name="Measurements">The measurements, each with a value.</param>
public sealed record MeasuredSeries(SeriesKey Key, IReadOnlyList<Measurement> Measurements)
{
    /// <summary>The values.</summary>
    public IReadOnlyList<double> Values { get; } = [.. Measurements.Select(m => m.Value!.Value)];

    /// <summary>The serials.</summary>
    public IReadOnlyList<string> Builds { get; } = [.. Measurements.Select(m => m.Build)];

    /// <summary>Sorts measurements into series, in the order of the plan's doors and stations; within a place the newest mould revision first.</summary>
    /// <param name="plan">The plan, for the order of builds, doors and stations and for mould revisions.</param>
    /// <param name="measurements">Measurements at plan conditions of many builds; those without a value are passed over.</param>
    /// <param name="acrossRevisions">True to take mould revisions together.</param>
    public static IReadOnlyList<MeasuredSeries> Sort(FitPlan plan, IReadOnlyList<Measurement> measurements, bool acrossRevisions = false)
    {
        BuildOrder order = new(plan, measurements.Select(m => m.Build));
        HashSet<string> doors = [.. plan.Doors.Select(d => d.Code)];
        return [.. Ordered(plan, order, measurements.Where(m => m.Value is not null && doors.Contains(m.Door))
            .GroupBy(m => KeyOf(m, acrossRevisions ? null : order.Entry(m.Build, m.Door)))
            .Select(g => new MeasuredSeries(g.Key, [.. g.OrderBy(m => order.Place(m.Build))])), s => s.Key, s => s.Builds[^1])];
    }

    /// <summary>What a measurement counts for.</summary>
    internal static SeriesKey KeyOf(Measurement m, BuildEntry? entry) => new(m.Door, m.Zone, m.Station, m.Characteristic, m.Definition, m.Stage, entry?.DoorMould, entry?.SurroundMould);

    /// <summary>Series in the order of the plan's doors and stations; within a place the newest mould revision first.</summary>
    internal static IEnumerable<T> Ordered<T>(FitPlan plan, BuildOrder order, IEnumerable<T> series, Func<T, SeriesKey> key, Func<T, string> lastBuild)
    {
        Dictionary<string, int> doors = plan.Doors.Select((d, i) => (d.Code, i)).ToDictionary(p => p.Code, p => p.i);
        Dictionary<(string, string), int> stations = plan.Doors.SelectMany(d => d.Stations.Select(s => ((d.Code, s.Name), s.Index))).ToDictionary(p => p.Item1, p => p.Index);
        Dictionary<Characteristic, int> kinds = Characteristic.All.Select((c, i) => (c, i)).ToDictionary(p => p.c, p => p.i);
        return series
            .OrderBy(s => doors[key(s).Door]).ThenBy(s => kinds[key(s).Characteristic])
            .ThenBy(s => key(s).Station is string name ? stations.GetValueOrDefault((key(s).Door, name), int.MaxValue) : -1).ThenBy(s => key(s).Zone, StringComparer.Ordinal)
            .ThenBy(s => key(s).Stage, StringComparer.Ordinal).ThenByDescending(s => order.Place(lastBuild(s)));
    }
}
