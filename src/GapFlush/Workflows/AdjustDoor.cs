using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>How to move the hinges and latches of one door so that it fits best.</summary>
public static class AdjustDoor
{
    /// <summary>Works out the advice for one door of an inspected build.</summary>
    /// <param name="inspection">The inspection of the build.</param>
    /// <param name="door">Door code.</param>
    /// <returns>The advice; or why there is none: no such door, no adjusters for it, nothing read of it that has limits.</returns>
    public static Outcome<DoorAdjustment> Run(BuildInspection inspection, string door)
    {
        FitPlan plan = inspection.Plan;
        if (Check(plan, door) is InputProblem problem) return Outcome<DoorAdjustment>.Refused([problem]);
        DoorResult result = inspection.Doors.First(d => d.Door.Code == door);
        if (!result.Rows.Any(r => r.Limits is not null && r.Measurement.Value is not null))
            return Outcome<DoorAdjustment>.Refused([new("--door", 0, "", door, $"a door of build {inspection.Build} with readings that have limits", $"No gap, flush or seal reading of {door} can be judged. Read the door first, or name another.")]);
        return Outcome<DoorAdjustment>.Of(Advice(inspection, result));
    }

    /// <summary>What is wrong with a door before anything was read, or null.</summary>
    public static InputProblem? Check(FitPlan plan, string door)
    {
        if (plan.FindDoor(door) is null) return new("--door", 0, "", door, "a door of the plan", NearestName.Remedy(door, [.. plan.Doors.Select(d => d.Code)]));
        if (plan.Adjusters.Count == 0) return new("adjusters.csv", 0, "", "nothing", "a row for each hinge, latch or stop (door,adjuster,x,y,z,dx,dy,dz,minimum,maximum,step)", "The plan has no adjusters.csv; without it nobody knows what holds the door. Add it to the plan's folder.");
        return plan.Adjusters.Any(a => a.Door == door) ? null
            : new("adjusters.csv", 0, "door", door, $"at least one adjuster of door {door}", "Add the hinges, latches and stops that hold this door.");
    }

    /// <summary>Advice for every door of a build that has adjusters and something outside.</summary>
    public static IReadOnlyList<DoorAdjustment> ForReport(BuildInspection inspection) =>
        [.. inspection.Doors.Where(d => d.Counts.Outside > 0 && inspection.Plan.Adjusters.Any(a => a.Door == d.Door.Code)).AsParallel().AsOrdered().Select(d => Advice(inspection, d))];

    private static DoorAdjustment Advice(BuildInspection inspection, DoorResult door) =>
        DoorAdjustment.For(inspection.Plan, door) with { Shares = inspection.ScanOf(door.Door.Code) is DoorScan scan ? ScanFindings.Shares(inspection.Plan, scan) : null };
}
