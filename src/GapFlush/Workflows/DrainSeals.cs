using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>The seals of one build from its readings, for a drain check without the rest of an inspection.</summary>
public static class DrainSeals
{
    /// <summary>The seal at every station of every door that has one; or what is wrong with the call.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="build">Serial of the aircraft; may be null where the readings are of one build.</param>
    /// <param name="logs">The reading files; rows of other builds are passed over.</param>
    public static Outcome<IReadOnlyDictionary<string, IReadOnlyList<SealStation>>> Of(FitPlan plan, string? build, IReadOnlyList<ReadingLog> logs)
    {
        string[] builds = [.. logs.SelectMany(l => l.Builds).Distinct()];
        string source = logs.Count > 0 ? logs[0].Source : "--readings";
        if (build is null && builds.Length > 1) return Refused("readings of one build", "Say which one with --build.");
        if (build is not null && !builds.Contains(build)) return Refused($"readings of build {build}", NearestName.Remedy(build, builds));
        build ??= builds.FirstOrDefault() ?? "";
        IReadOnlyList<Measurement> measurements = PlanConditions.Apply(plan, null, [.. logs.SelectMany(l => l.Readings).Where(r => r.Build == build)]);
        return Outcome<IReadOnlyDictionary<string, IReadOnlyList<SealStation>>>.Of(DoorSeals.StationsByDoor(DoorSeals.Of(plan, build, null, measurements)));

        Outcome<IReadOnlyDictionary<string, IReadOnlyList<SealStation>>> Refused(string expected, string remedy) =>
            Outcome<IReadOnlyDictionary<string, IReadOnlyList<SealStation>>>.Refused([new(source, 0, "build", string.Join(", ", builds), expected, remedy)]);
    }
}
