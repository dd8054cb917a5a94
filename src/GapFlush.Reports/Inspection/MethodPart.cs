using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Inspection;

/// <summary>Where the uncertainty comes from, and what was done, in two sentences each.</summary>
internal static class MethodPart
{
    public static void Add(List<Block> blocks, BuildInspection inspection)
    {
        blocks.Add(new Heading(1, "Sources of uncertainty"));
        blocks.Add(new Table([new("Door", 1), new("Source", 5), new("Standard uncertainty, mm", 2, Align.Right), new("Used at", 2, Align.Right)], [.. inspection.Doors.SelectMany(Budget)],
            "Each source as its root mean square over the gap and flush values it enters. U is twice the combined standard uncertainty, or the Student factor where degrees of freedom are few."));
        blocks.Add(new Heading(1, "Method"));
        blocks.Add(new Bullets(
        [
            "Signs: gap is positive when open. Flush is positive where the door stands proud of the surround.",
            "Conditions: readings are brought to millimetres, to the reference temperature (opening and door expand apart) and to the stage judged by the plan's paint allowance. Raw and stated values are both shown.",
            "Uncertainty: the sources above are combined as in JCGM 100 (GUM), degrees of freedom after Welch and Satterthwaite. A gauge without a known uncertainty gets none invented: its values stay undecided unless they are far from a limit's reach.",
            inspection.Plan.DecisionRule == DecisionRule.ProveConformity
                ? "Verdict: ISO 14253-1. Within only inside the limits moved in by U, outside only beyond the limits moved out by U, undecided between."
                : "Verdict: simple acceptance. A value on a limit conforms; the uncertainty is shown but not used.",
            "Displacement: three shifts and three turns that best explain gap and flush together, weighted by their uncertainty. A robust fit stands beside it where it tells something else.",
            "Seal: compression from the land gap and the seal's free height, straight from station to station; closing load by the seal's load curve, round the whole door. A land gap that was not read is predicted and says so, with its larger uncertainty. A gauge's own error is taken as shared by all stations, so it does not average out of the load.",
            "Steps: flush turned into a step that faces the airflow or faces away from it, by which way the air crosses the seam there. Edges along the flow count little.",
        ]));
    }

    private static IEnumerable<Row> Budget(DoorResult door)
    {
        UncertaintyComponent[] all = [.. door.Rows.Where(r => r.Measurement.Characteristic == Characteristic.Gap || r.Measurement.Characteristic == Characteristic.Flush).SelectMany(r => r.Measurement.Budget)];
        return all.GroupBy(c => c.Source).Select(g => (g.Key, Rms: Math.Sqrt(g.Average(c => c.StandardUncertainty * c.StandardUncertainty)), Count: g.Count()))
            .OrderByDescending(s => s.Rms).Select(s => new Row([door.Door.Code, s.Key, Invariant($"{s.Rms:0.000}"), Invariant($"{s.Count} values")]));
    }
}
