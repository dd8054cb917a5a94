using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Brings the readings of many builds to plan conditions, each stage for itself, and derives what the plan limits.</summary>
public static class ManyBuilds
{
    /// <summary>Measures builds.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stage">Only this stage, readings brought to it where paint alone differs; null for every stage for itself.</param>
    /// <param name="readings">Readings of any builds and doors.</param>
    public static IReadOnlyList<Measurement> Measure(FitPlan plan, string? stage, IReadOnlyList<Reading> readings)
    {
        List<Measurement> all = [];
        if (stage is not null) all.AddRange(PlanConditions.Apply(plan, stage, readings));
        else
        {
            foreach (IGrouping<string?, Reading> one in readings.GroupBy(r => r.Stage)) all.AddRange(PlanConditions.Apply(plan, one.Key, [.. one]));
        }
        HashSet<Characteristic> limited = Limited(plan);
        var groups = all.GroupBy(m => (m.Build, m.Door, m.Stage)).ToArray();
        all.AddRange(groups.AsParallel().AsOrdered().SelectMany(g => plan.FindDoor(g.Key.Door) is Door door ? Derived(plan, door, g.Key.Build, g.Key.Stage, [.. g], limited) : [])
            .Where(m => m.Value is not null && limited.Contains(m.Characteristic)));
        return all;
    }

    /// <summary>What the plan limits.</summary>
    internal static HashSet<Characteristic> Limited(FitPlan plan) => [.. plan.Limits.Rows.Select(r => r.Characteristic)];

    /// <summary>The measurements of one build, those derived behind those of each door.</summary>
    internal static List<Measurement> OfBuild(FitPlan plan, string? stage, IReadOnlyList<Reading> readings, HashSet<Characteristic> limited)
    {
        List<Measurement> all = new(3 * readings.Count);
        if (stage is not null || readings.All(r => r.Stage == readings[0].Stage)) PlanConditions.AddBuild(plan, stage ?? readings[0].Stage, readings, all);
        else
        {
            foreach (IGrouping<string?, Reading> one in readings.GroupBy(r => r.Stage)) PlanConditions.AddBuild(plan, one.Key, [.. one], all);
        }
        foreach (var group in all.GroupBy(m => (m.Door, m.Stage)).ToArray())
        {
            if (plan.FindDoor(group.Key.Door) is Door door) all.AddRange(Derived(plan, door, readings[0].Build, group.Key.Stage, [.. group], limited).Where(m => m.Value is not null && limited.Contains(m.Characteristic)));
        }
        return all;
    }

    private static IEnumerable<Measurement> Derived(FitPlan plan, Door door, string build, string? stage, Measurement[] group, HashSet<Characteristic> limited)
    {
        if (limited.Count == 0) yield break;
        Dictionary<string, Measurement> gaps = ByStation(group, Characteristic.Gap), flushes = ByStation(group, Characteristic.Flush);
        if (limited.Contains(Characteristic.StepForward) || limited.Contains(Characteristic.StepAft))
        {
            foreach (Station station in door.Stations)
            {
                if (plan.Airflow is not Vector3 airflow || !flushes.TryGetValue(station.Name, out Measurement? flush)) continue;
                if (StepsFromFlush.At(station, airflow, flush.Value!.Value) is not StepsFromFlush steps) continue;
                foreach ((Characteristic characteristic, double height) in new[] { (Characteristic.StepForward, steps.ForwardMm), (Characteristic.StepAft, steps.AftMm) })
                    yield return flush with { Characteristic = characteristic, Value = height, RawValue = height, Origin = MeasurementOrigin.Derived, Corrections = [], Readings = [] };
            }
        }
        if (limited.Contains(Characteristic.GapRange) || limited.Contains(Characteristic.GapTaper))
        {
            foreach (Measurement m in door.Zones.SelectMany(z => GapOverZone.Of(door, z, gaps, build, stage))) yield return m;
        }
        if (limited.Contains(Characteristic.Twist)) yield return Twist.Of(door, flushes, build, stage);
        foreach (Measurement m in SealsOverBuilds.Of(plan, door, build, stage, group, limited)) yield return m;
    }

    private static Dictionary<string, Measurement> ByStation(IEnumerable<Measurement> measurements, Characteristic characteristic)
    {
        Dictionary<string, Measurement> found = [];
        foreach (Measurement m in measurements)
        {
            if (m.Station is not null && m.Characteristic == characteristic && m.Value is not null) found.TryAdd(m.Station, m);
        }
        return found;
    }
}
