using GapFlush.Doubts;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>Scanned doors among the readings of one aircraft: at which stage they were taken, and which value counts where both were.</summary>
public static class ScannedDoors
{
    /// <summary>How far reading and section may lie apart, in combined expanded uncertainties, before it is a doubt. With k = 2 on both, twice is four standard
    /// uncertainties: chance alone does that once in 15 000 values.</summary>
    public const double FarApart = 2;

    /// <summary>The stage that a scan of a door counts for: the one asked for, else that of the door's readings, else the plan's only one.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="asked">The stage asked for, or null.</param>
    /// <param name="logs">The reading files.</param>
    /// <param name="stage">The stage; null where the plan's limits for gap and flush do not depend on it.</param>
    /// <returns>What is wrong: a stage that the plan does not have, or none named although limits depend on it. Null where nothing is.</returns>
    public static InputProblem? StageOf(FitPlan plan, Door door, string build, string? asked, IReadOnlyList<ReadingLog> logs, out string? stage)
    {
        string[] known = [.. plan.Stages.Select(s => s.Name)];
        stage = PlanConditions.StageToJudge(plan, asked, logs.SelectMany(l => l.Readings).Where(r => r.Build == build && r.Door == door.Code));
        if (asked is not null && plan.FindStage(asked) is null) return new("--stage", 0, "", asked, "a stage of the plan", NearestName.Remedy(asked, known));
        bool matters = plan.Limits.Rows.Any(r => r.Stage is not null && (r.Door is null || r.Door == door.Code) && (r.Characteristic == Characteristic.Gap || r.Characteristic == Characteristic.Flush));
        if (stage is not null || !matters) return null;
        return new("--stage", 0, "", "", $"the stage at which door {door.Code} was scanned, because its limits depend on it", $"Give --stage, one of {string.Join(", ", known)}.");
    }

    /// <summary>One measurement for each place: the section's where it has a value, else the reading's; and what to doubt where the two are far apart.</summary>
    public static (IReadOnlyList<Measurement> Measurements, IReadOnlyList<Doubt> Doubts) Join(string build, IReadOnlyList<Measurement> readings, IReadOnlyList<DoorScan> scans)
    {
        if (scans.Count == 0) return (readings, []);
        Dictionary<(string, string?, Characteristic), Measurement> sections = [];
        foreach (Measurement m in scans.SelectMany(s => SectionOutput.Measurements(s, build))) sections[(m.Door, m.Station, m.Characteristic)] = m;
        List<Measurement> joined = [];
        List<(Measurement Reading, Measurement Section)> both = [];
        foreach (Measurement m in readings)
        {
            if (m.Build != build || !sections.Remove((m.Door, m.Station, m.Characteristic), out Measurement? section)) joined.Add(m);
            else if (section.Value is null) joined.Add(m.Value is null ? section : m with { Reason = string.Join("; ", new[] { m.Reason, $"read by gauge; the scan has none: {section.Reason}" }.OfType<string>()) });
            else
            {
                joined.Add(section);
                if (m.Value is not null && m.Stage == section.Stage) both.Add((m, section));
            }
        }
        joined.AddRange(sections.Values);
        return (joined, [.. both.GroupBy(b => (b.Section.Door, b.Section.Characteristic)).SelectMany(g => Compared(g.Key.Door, g.Key.Characteristic, [.. g]))]);
    }

    private static IEnumerable<Doubt> Compared(string door, Characteristic characteristic, (Measurement Reading, Measurement Section)[] both)
    {
        (string Station, double Apart)[] far =
        [
            .. both.Where(b => b.Reading.ExpandedUncertainty is double r && b.Section.ExpandedUncertainty is double s && Math.Abs(b.Reading.Value!.Value - b.Section.Value!.Value) > FarApart * Math.Sqrt(r * r + s * s))
                .Select(b => (b.Section.Station!, b.Reading.Value!.Value - b.Section.Value!.Value)),
        ];
        if (far.Length == 0) yield break;
        double mean = both.Average(b => b.Reading.Value!.Value - b.Section.Value!.Value);
        (string station, double worst) = far.MaxBy(f => Math.Abs(f.Apart));
        yield return new(DoubtKinds.ScanAgainstGauge, door, [.. far.Select(f => f.Station)],
            Invariant($"The {characteristic.Words} read by gauge and that of the scan differ by more than twice their combined uncertainty at {far.Length} of {both.Length} stations that have both; gauge minus scan is {mean:+0.00;-0.00;0.00} mm on the mean and {worst:+0.00;-0.00;0.00} mm at {station}."),
            "Find out which is right: build, door, stage, definition, and how the scan was laid on the plan. The values of the scan were judged.");
    }
}
