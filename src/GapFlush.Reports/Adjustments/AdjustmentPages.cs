using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Adjustments;

/// <summary>The advice for a door on paper: what to move, what to expect, what stays; and the maps of before and after.</summary>
public static class AdjustmentPages
{
    /// <summary>The part on one door, for the report of an inspection.</summary>
    public static IReadOnlyList<Block> Part(FitPlan plan, DoorAdjustment advice)
    {
        List<Block> blocks = [new Heading(2, "What to move"), new Paragraph(DoorAdjustment.Caution, ParagraphRole.Caution)];
        IReadOnlyList<string> steps = AdjustOutput.Steps(plan, advice);
        if (steps.Count == 0) blocks.Add(new Paragraph($"No move is advised: {advice.WhyNoMoves}."));
        else blocks.Add(new Bullets(steps, IsNumbered: true));
        blocks.Add(new Paragraph("What to expect:"));
        blocks.Add(new Bullets(AdjustOutput.Expect(advice)));
        IReadOnlyList<string> remains = AdjustOutput.Remains(advice);
        if (remains.Count > 0)
        {
            blocks.Add(new Paragraph("What no move cures:"));
            blocks.Add(new Bullets(remains));
        }
        blocks.Add(new Bullets(advice.Holding.Words));
        return blocks;
    }

    /// <summary>The page of one door by itself.</summary>
    public static Report Compose(FitPlan plan, DoorAdjustment advice)
    {
        Door door = advice.Before.Door;
        (Sheet before, Sheet after) = Maps(plan, advice);
        List<Block> blocks =
        [
            new Heading(1, $"Door {door.Code}, {door.Title}"),
            new Paragraph($"Now: {advice.Before.Words}.", ParagraphRole.Answer, MarkOf(advice.Before.Verdict)),
            new Paragraph($"Expected after the moves: {advice.After.Words}.", ParagraphRole.Answer, MarkOf(advice.After.Verdict)),
            .. Part(plan, advice),
            new Heading(2, "What 1 mm at each adjuster does"),
            Effects(plan, advice),
            new Figure(before, $"Door {door.Code} as read."),
            new Figure(after, $"Door {door.Code} as it is expected after the moves: reckoned, not read."),
            new SignOff(["Fitter", "Inspector"]),
        ];
        return new Report($"{plan.AircraftType} build {advice.Before.Build}: moving door {door.Code}", $"Plan {plan.Name}; build {advice.Before.Build}; door {door.Code}", DoorAdjustment.Caution, blocks);
    }

    /// <summary>The outline maps of the door as read and as expected.</summary>
    public static (Sheet Before, Sheet After) Maps(FitPlan plan, DoorAdjustment advice) =>
        (Map(advice.Before, plan, [("Shown", "as read, before any move")]), Map(advice.After, plan, [("Shown", "as expected after the moves: reckoned, not read"), .. Moved(plan, advice)]));

    private static Sheet Map(DoorResult result, FitPlan plan, IReadOnlyList<(string, string)> facts) =>
        DoorMap.Layout(new DoorMapContent(plan, result.Door, result.Build, result.Stage, result.Rows, facts, result.Data.Doubts.Count));

    private static IEnumerable<(string, string)> Moved(FitPlan plan, DoorAdjustment advice) =>
        advice.Moves.Where(m => m.MoveMm != 0).Select(m => (m.Adjuster.Name, Invariant($"{Math.Abs(m.MoveMm):0.00} mm {MoveWords.Direction(plan, m.Adjuster, m.MoveMm)}")));

    private static Table Effects(FitPlan plan, DoorAdjustment advice)
    {
        string[] zones = [.. advice.Effects[0].Zones.Select(z => z.Place).Where(z => !z.Contains("corner", StringComparison.OrdinalIgnoreCase))];
        if (zones.Length == 0) zones = [.. advice.Effects[0].Zones.Select(z => z.Place)];
        List<Column> columns = [new("1 mm at", 3)];
        foreach (string zone in zones) columns.AddRange([new($"{zone} gap", 1.1, Align.Right), new($"{zone} flush", 1.1, Align.Right)]);
        return new(columns, [.. advice.Effects.Select(e => new Row([$"{e.Adjuster.Name} ({MoveWords.Direction(plan, e.Adjuster, 1)})",
            .. zones.SelectMany(z => e.Zones.Where(c => c.Place == z).SelectMany(c => (Cell[])[Figure(c.GapMm), Figure(c.FlushMm)]))]))],
            "Mean change over each zone, mm, all other adjusters left as they are.");

        static Cell Figure(double mm) => Math.Abs(mm) < 0.005 ? "0" : Invariant($"{mm:+0.00;-0.00}");
    }

    private static Mark MarkOf(FitVerdict verdict) => verdict switch
    {
        FitVerdict.Within => Mark.Within,
        FitVerdict.Undecided => Mark.Undecided,
        FitVerdict.Outside => Mark.Outside,
        _ => Mark.Missing,
    };
}
