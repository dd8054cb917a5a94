using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>The seals of the doors of one build, for whoever inspects, drains or adjusts it.</summary>
public static class DoorSeals
{
    /// <summary>The seal of each door that has one or that is limited for one, in the order of the plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage to judge at, or null to take for each door that of its measurements.</param>
    /// <param name="measurements">Measurements at plan conditions.</param>
    public static IReadOnlyList<DoorSeal> Of(FitPlan plan, string build, string? stage, IReadOnlyList<Measurement> measurements) =>
        [.. plan.Doors.AsParallel().AsOrdered().Select(d => Of(plan, d, build, stage, measurements)).OfType<DoorSeal>()];

    /// <summary>The seal of one door; null where the plan gives it none and limits nothing of one.</summary>
    public static DoorSeal? Of(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<Measurement> measurements) =>
        DoorSeal.Of(plan, door, build, Decisions.DoorResult.StageOf(door, build, stage, measurements), measurements);

    /// <summary>The seal at every station of every door, by door code: what a drain check holds its water against.</summary>
    public static IReadOnlyDictionary<string, IReadOnlyList<SealStation>> StationsByDoor(IEnumerable<DoorSeal> seals) => seals.ToDictionary(s => s.Door.Code, s => s.Stations);
}
