using GapFlush.Capability;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The quality manager's paper on stability: the first sheet answers; then what signals, whole doors at once, and a page for each of the places that want a look most.</summary>
public static class TrendReport
{
    /// <summary>So many places have a page of their own at most, unless every one is asked for.</summary>
    public const int MostPages = 20;

    private const int MostBuilds = 8, MostBars = 6;

    /// <summary>Composes the report.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="study">The study.</param>
    /// <param name="everyPage">True for a page for every place, however many there are.</param>
    public static Report Compose(FitPlan plan, TrendStudy study, bool everyPage = false)
    {
        List<Block> blocks = [StudyPage.Answer(study.Answer, study.WithSignals.Any() ? Mark.Doubt : null)];
        Doors(blocks, study);
        Builds(blocks, study);
        Rework(blocks, study, MostBars);
        Yield(blocks, study);
        Signals(blocks, study);
        if (study.Rework.Count > MostBars)
        {
            blocks.Add(new Heading(1, "All rework"));
            blocks.Add(new Figure(ParetoChart.Draw(study.Rework), "Places to rework by zone and characteristic, most first.", OwnPage: false));
        }
        NotCharted(blocks, study);
        Method(blocks, study);
        Charts(blocks, study, everyPage);
        return StudyPage.Report(plan, study.Headline, "Control charts over builds", blocks);
    }

    private static void Doors(List<Block> blocks, TrendStudy study)
    {
        if (study.ByDoor.Count == 0) return;
        blocks.Add(new Table([new("Door", 1), new("Moulds", 1), new("Builds", 1, Align.Right), new("Charts", 1, Align.Right), new("Signal", 1, Align.Right), new("Mean moved", 1.2, Align.Right), new("Values outside", 1.2, Align.Right)],
            [.. study.ByDoor.Select(d => new Row([d.Door, StudyPage.Moulds(d.DoorMould, d.SurroundMould), Invariant($"{d.Builds}"), Invariant($"{d.Charts}"), new Cell(Invariant($"{d.Signals}"), d.Signals > 0 ? Mark.Doubt : null), Invariant($"{d.Moved}"), new Cell(Invariant($"{d.Outside}"), d.Outside > 0 ? Mark.Outside : null)]))],
            Invariant($"By chance alone about one chart in eight signals, about one in twenty seems to move. {StudyPage.MouldsKey}")));
    }

    private static void Builds(List<Block> blocks, TrendStudy study)
    {
        if (study.AtBuilds.Count == 0) return;
        SignalledBuild[] first = [.. study.AtBuilds.Take(MostBuilds)];
        blocks.Add(new Heading(1, "Look first at these builds"));
        blocks.Add(new Table([new("Build", 1), new("Door", 0.7), new("Signals begin here", 7)], [.. first.Select(b => new Row([b.Build, b.Door, new Cell(b.Words, b.IsWholeDoor ? Mark.Doubt : null)]))],
            "Values as read; what follows from them, such as steps, is not counted. " + (first.Any(b => b.IsWholeDoor) ? "Triangle: nearly the whole door at once, so doubt the sheet or the gauge before the door; gapflush check says what it doubts. " : "")
            + (study.AtBuilds.Count > first.Length ? Invariant($"{study.AtBuilds.Count - first.Length} more builds with fewer places are told under What signals.") : "")));
    }

    private static void Rework(List<Block> blocks, TrendStudy study, int most)
    {
        blocks.Add(new Heading(1, "What costs most rework"));
        if (study.Rework.Count == 0)
        {
            blocks.Add(new Paragraph("Nothing was outside."));
            return;
        }
        blocks.Add(new Figure(ParetoChart.Draw(study.Rework, most), "Every value outside its limits is one place to rework. A step follows from its flush: both count where both are limited.", OwnPage: false));
    }

    private static void Yield(List<Block> blocks, TrendStudy study)
    {
        if (study.Yield is not FirstPassYield y) return;
        blocks.Add(new Heading(1, "First-pass yield"));
        blocks.Add(new Paragraph(Invariant($"{y.Passed} of {y.Builds} builds had nothing outside when first measured: {100 * y.Share:0} %, 95 % interval {100 * y.Interval.Low:0} to {100 * y.Interval.High:0} % (Wilson). Limits are taken as they stand, without the uncertainty of measuring.")));
        BuildYield[] short_ = [.. study.ByBuild.Where(b => b.Within < b.Judged).OrderBy(b => b.Share)];
        if (short_.Length > 0) blocks.Add(new Paragraph($"Furthest from it: {string.Join(", ", short_.Take(6).Select(b => Invariant($"{b.Build} with {b.Judged - b.Within} of {b.Judged} values outside")))}{(short_.Length > 6 ? Invariant($" and {short_.Length - 6} more builds") : "")}."));
    }

    private static void Signals(List<Block> blocks, TrendStudy study)
    {
        blocks.Add(new Heading(1, "What signals"));
        TrendLine[] look = [.. study.Lines.Where(l => l.Trend is not null && (l.HasSignal || l.Trend.HasChanged || l.Trend.Drifts))];
        if (look.Length == 0)
        {
            blocks.Add(new Paragraph("No chart signals, no change of mean and no drift is proven."));
            return;
        }
        int chance = (int)Math.Round(study.Lines.Count(l => l.Trend is not null) / 8.0);
        blocks.Add(new Paragraph(Invariant($"With this many charts some signal by chance: of charts of some 30 builds in control about one in eight does, here about {chance}. Look first where neighbours signal at the same build.")));
        blocks.Add(new Table([new("Door", 0.6), new("What", 1.6), new("Moulds", 0.8), new("Charts", 0.7, Align.Right), new("Signal", 0.7, Align.Right), new("Where signals begin; where the mean moved", 7)],
            [.. look.GroupBy(l => (l.Series.Key.Door, l.Series.Key.Characteristic, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould)).Select(g => new Row(
                [g.Key.Door, g.Key.Characteristic.Words, Mould(g.First().Series.Key), Invariant($"{study.Lines.Count(l => l.Trend is not null && (l.Series.Key.Door, l.Series.Key.Characteristic, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould) == g.Key)}"), Invariant($"{g.Count(l => l.HasSignal)}"), new Cell(Told([.. g]), g.Any(l => l.HasSignal) ? Mark.Doubt : null)]))],
            $"{StudyPage.MouldsKey} Triangle: a chart signals; without it a change or drift alone is proven. The rules broken stand on the charts."));
    }

    // A build out of line shows at many places at once: it is told once, with its places.
    private static string Told(IReadOnlyList<TrendLine> lines)
    {
        const int most = 5;
        List<string> told = [];
        IGrouping<string, string>[] begins = [.. lines.SelectMany(l => l.Signals.SelectMany(s => s.Points.Where(p => !s.Points.Contains(p - 1))).Distinct().Select(p => (Build: l.Series.Builds[p - 1], Place: Place(l)))).GroupBy(b => b.Build, b => b.Place).OrderByDescending(g => g.Count())];
        told.AddRange(begins.Take(most).Select(g => $"{g.Key}: {StudyPage.Few([.. g])}"));
        if (begins.Length > most) told.Add(Invariant($"{begins.Length - most} other builds"));
        TrendLine[] changed = [.. lines.Where(l => l.Trend!.HasChanged)], drifting = [.. lines.Where(l => l.Trend!.Drifts && !l.Trend.HasChanged)];
        if (changed.Length > 0) told.Add($"mean changed at {StudyPage.Few([.. changed.Select(l => l.Trend!.Change is ChangePoint c ? $"{Place(l)} (after {l.Series.Builds[c.LastBefore - 1]})" : Place(l))], 4)}");
        if (drifting.Length > 0) told.Add($"drift at {StudyPage.Few([.. drifting.Select(Place)])}");
        return string.Join("; ", told);
    }

    private static void NotCharted(List<Block> blocks, TrendStudy study)
    {
        string[] short_ = [.. study.Lines.Where(l => l.Trend is null).GroupBy(l => l.Reason).Select(g => Invariant($"{g.Count()} place{(g.Count() == 1 ? "" : "s")}: {g.Key}{(g.All(l => l.Series.Builds.Count == 1) && g.Select(l => l.Series.Builds[0]).Distinct().Count() == 1 ? $" ({g.First().Series.Builds[0]})" : "")}"))];
        if (short_.Length + study.Missing.Count == 0) return;
        blocks.Add(new Heading(1, "Not charted"));
        blocks.Add(new Bullets([.. short_, .. study.Missing]));
    }

    private static void Method(List<Block> blocks, TrendStudy study)
    {
        blocks.Add(new Heading(1, "How it was reckoned"));
        blocks.Add(new Facts(
        [
            ("Chart limits", study.Options.SpanWords + "; centre ± 3 sigma. Sigma is the usual scatter from one build to the next, from the mean moving range"),
            ("Run rules", string.Join("; ", (study.Options.Rules ?? ProcessCapability.ControlRules).Select(r => r.Words))),
            ("Moving range", "how far one build lies from the one before; signals beyond its upper chart limit"),
            ("EWMA", "average that gives the newest build a weight of 0.2 and forgets the old; limits of 2.7 sigma. Sees small lasting shifts"),
            ("CUSUM", "running sum of what lies more than half a sigma above the centre, or below it; signals above 5 sigma. Sees small lasting shifts"),
            ("Mean moved", "largest change of mean with the builds it lies between, or a drift (Mann-Kendall test, Theil-Sen slope); told where proven at 5 %"),
            ("Steps", "follow from flush and end at 0, so that their charts signal oftener by chance: judge by the flush"),
            ("Never mixed", "stages, definitions" + (study.Options.AcrossRevisions ? "" : " and mould revisions")),
        ]));
    }

    private static void Charts(List<Block> blocks, TrendStudy study, bool everyPage)
    {
        TrendLine[] drawn = [.. study.Lines.Where(l => l.Series.Values.Count > 1)];
        if (drawn.Length == 0) return;
        TrendLine[] look = [.. drawn.Where(l => l.WantsLook)], pages = everyPage ? drawn : Strongest(look);
        blocks.Add(new Heading(1, "Charts"));
        blocks.Add(new Paragraph("First whole doors at once: a small chart for each place, in the order round the door outline. Then pages of single places: "
            + (everyPage ? "every one."
                : look.Length == 0 ? "none, for there is nothing to look into; --every-page gives all."
                : look.Length == pages.Length ? Invariant($"the {pages.Length} with a signal, a mean that moved or a value outside; the other {drawn.Length - pages.Length} are in the small charts only, and --every-page gives them a page too.")
                : Invariant($"of {look.Length} with a signal, a mean that moved or a value outside the {pages.Length} strongest, of each door, characteristic and mould the strongest first. The other {drawn.Length - pages.Length} places are in the small charts only; --every-page gives each a page, --door and --characteristic narrow them."))));
        if (study.Yield is not null) blocks.AddRange(YieldCharts(study, study.Yield));
        // Stations round the door make sheets of their own; the few values of zones and of the whole door share one.
        foreach (var g in study.Lines.GroupBy(l => (l.Series.Key.Door, What: l.Series.Key.Station is null ? null : l.Series.Key.Characteristic, l.Series.Key.Stage)).Where(g => g.Any(l => l.Series.Values.Count > 1)))
            blocks.AddRange(StudyPage.Figures(SmallMultiples.Pages(string.Join(", ", new[] { $"Door {g.Key.Door}, {g.Key.What?.Words ?? "values of zones and of the whole door"}", g.Key.Stage is string stage ? $"stage {stage}" : "" }.Where(t => t.Length > 0)), [.. g])));
        blocks.AddRange(StudyPage.Figures(pages.SelectMany(SeriesChart.Pages)));
    }

    // The strongest of each door, characteristic and mould first, then the second of each, until the pages are full: twenty stations of one bad sheet do not crowd out the rest.
    private static TrendLine[] Strongest(TrendLine[] look)
    {
        static (int, int) Strength(TrendLine l) => (l.Series.Key.Characteristic.IsRead ? 1 : 0, l.Signals.Sum(s => s.Points.Count) + 2 * l.Outside.Count);
        return [.. look.GroupBy(l => (l.Series.Key.Door, l.Series.Key.Characteristic, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould))
            .SelectMany(g => g.OrderByDescending(Strength).Select((l, rank) => (Line: l, Rank: rank))).OrderBy(p => p.Rank).ThenByDescending(p => Strength(p.Line)).Take(MostPages).Select(p => p.Line)];
    }

    private static IEnumerable<Block> YieldCharts(TrendStudy study, FirstPassYield y) => StudyPage.Figures(IntervalChart.Pages("First-pass yield by build", Invariant($"Full mark: nothing outside ({y.Passed} of {y.Builds} builds). The intervals take the places of a build as independent, which they are not quite."), "values within at first measuring, % of those limited, with 95 % interval",
            "Full: nothing outside. Open: something outside. In the order of making.", [.. study.ByBuild.Select(b => new IntervalItem(b.Build, 100 * b.Share, new(100 * b.Interval.Low, 100 * b.Interval.High), b.Within == b.Judged))], [(100, "100 %")]));

    private static string Place(TrendLine l) => l.Series.Key.Station ?? l.Series.Key.Zone ?? "whole door";

    internal static string Mould(SeriesKey key) => StudyPage.Moulds(key.DoorMould, key.SurroundMould);
}
