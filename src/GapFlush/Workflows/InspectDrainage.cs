using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Readings;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>The drain channels of an inspected aircraft: judged as measured, put beside its seals and its water tests, and counted with its doors.</summary>
public static class InspectDrainage
{
    /// <summary>Adds the drains to an inspection.</summary>
    /// <remarks>Measured channels are rows of their door and count in its verdict. Without levels the channels stand as the plan has them: they are shown, to have
    /// something to hold water tests against, and count for nothing.</remarks>
    /// <param name="inspection">The inspection.</param>
    /// <param name="levels">Measured levels, or null.</param>
    /// <param name="waterTests">Water tests, or null; those of other builds are passed over.</param>
    /// <param name="seals">The seal at the stations of each door that was read; null where none was.</param>
    public static Outcome<BuildInspection> Add(BuildInspection inspection, LevelLog? levels, WaterTestLog? waterTests, IReadOnlyDictionary<string, IReadOnlyList<SealStation>>? seals)
    {
        if (levels is null && waterTests is null) return Outcome<BuildInspection>.Of(inspection);
        if (waterTests is not null && waterTests.Tests.All(t => t.Build != inspection.Build))
        {
            string[] builds = [.. waterTests.Tests.Select(t => t.Build).Distinct()];
            return Outcome<BuildInspection>.Refused([new(waterTests.Source, 0, "build", string.Join(", ", builds), $"water tests of build {inspection.Build}", NearestName.Remedy(inspection.Build, builds))]);
        }
        WaterTestLog? own = waterTests is null ? null : waterTests with { Tests = [.. waterTests.Tests.Where(t => t.Build == inspection.Build)] };
        Outcome<DrainResult> drained = DrainPlan.Run(inspection.Plan, levels, levels is null ? null : inspection.Build, seals, waterTests: own);
        if (!drained.IsUsable) return Outcome<BuildInspection>.Refused(drained.Problems, drained.Notices);
        List<string> notices = [.. drained.Notices];
        if (levels is null) notices.Add("No levels: the channels are shown as the plan has them, beside the water tests, and count for nothing.");
        DoorResult[] doors = levels is null ? [.. inspection.Doors] : [.. inspection.Doors.Select(d => d.WithFurther([.. drained.Value.Rows.Where(r => r.Measurement.Door == d.Door.Code)]))];
        return Outcome<BuildInspection>.Of(inspection with { Verdict = inspection.Verdict with { Doors = doors }, Drainage = drained.Value }, notices);
    }
}
