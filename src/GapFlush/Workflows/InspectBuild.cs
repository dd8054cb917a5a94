using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Seals;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>The main job: everything about the doors of one aircraft, from its readings.</summary>
public static class InspectBuild
{
    /// <summary>Judges one build.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage to judge at, or null for that of the readings (of several, the last in the plan's order).</param>
    /// <param name="logs">The reading files; rows of other builds are passed over, but looked at for doubts.</param>
    /// <param name="more">Measurements from elsewhere, at plan conditions.</param>
    /// <param name="scans">Sectioned scans and probed points of this build's doors; where a place was read by gauge too, the section counts.</param>
    /// <returns>The inspection; or what is wrong with the request: an unknown stage, or no reading of that build in any file.</returns>
    public static Outcome<BuildInspection> Run(FitPlan plan, string build, string? stage, IReadOnlyList<ReadingLog> logs, IReadOnlyList<Measurement>? more = null, IReadOnlyList<DoorScan>? scans = null)
    {
        if (stage is not null && plan.FindStage(stage) is null)
            return Refused("--stage", stage, "a stage of the plan", NearestName.Remedy(stage, [.. plan.Stages.Select(s => s.Name)]));
        List<Reading> readings = [.. logs.SelectMany(l => l.Readings).Where(r => r.Build == build)];
        IReadOnlyList<Measurement> others = more ?? [];
        if (readings.Count == 0 && others.Count == 0 && scans is not { Count: > 0 })
        {
            string[] builds = [.. logs.SelectMany(l => l.Builds).Distinct()];
            return Refused("--build", build, "a build that the reading files hold", builds.Length == 0 ? "Give a file with --readings." : NearestName.Remedy(build, builds));
        }
        Task<IReadOnlyList<Doubt>> finding = Task.Run(() => DoubtFinder.Find(plan, build, stage, logs));
        (IReadOnlyList<Measurement> joined, IReadOnlyList<Doubt> apart) = ScannedDoors.Join(build, PlanConditions.Apply(plan, stage, readings), scans ?? []);
        List<Measurement> measurements = [.. joined, .. others];
        IReadOnlyList<DoorSeal> seals = DoorSeals.Of(plan, build, stage, measurements);
        // A land gap that was read but could not be used gives way to the predicted one, whose reason tells of it.
        HashSet<(string, string?)> predicted = [.. seals.SelectMany(s => s.LandGaps).Where(g => g.Origin == MeasurementOrigin.Predicted).Select(g => (g.Door, g.Station))];
        measurements.RemoveAll(m => m.Characteristic == Characteristic.LandGap && m.Build == build && m.Value is null && predicted.Contains((m.Door, m.Station)));
        measurements.AddRange(seals.SelectMany(s => s.Measurements));
        IReadOnlyList<Doubt> doubts = [.. finding.GetAwaiter().GetResult(), .. apart];
        List<DoorResult> doors = [.. plan.Doors.AsParallel().AsOrdered().Select(d => DoorResult.For(plan, d, build, stage, measurements, doubts))];
        List<string> untouched = [.. doors.Where(d => d.Rows.All(r => r.Measurement.Value is null)).Select(d => d.Door.Code)];
        return Outcome<BuildInspection>.Of(new BuildInspection(plan, new BuildVerdict(build, doors, untouched), doubts, readings, [.. logs.Where(l => l.Builds.Contains(build))]) { Seals = seals, Scans = scans ?? [] });
    }

    private static Outcome<BuildInspection> Refused(string option, string found, string expected, string remedy) =>
        Outcome<BuildInspection>.Refused([new InputProblem(option, 0, "", found, expected, remedy)]);
}
