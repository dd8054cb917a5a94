using GapFlush.Capability;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The quality manager's paper on stability: the answer, what signals and where, yield, rework, the whole door at once, then a page for each place.</summary>
public static class TrendReport
{
    /// <summary>With more places than this, only those that want a look have a page of their own, unless every one is asked for.</summary>
    public const int MostPages = 120;

    /// <summary>Composes the report.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="study">The study.</param>
    /// <param name="everyPage">True for a page for every place, however many there are.</param>
    public static Report Compose(FitPlan plan, TrendStudy study, bool everyPage = false)
    {
        List<Block> blocks = [StudyPage.Answer(study.Answer, study.WithSignals.Any() ? Mark.Doubt : null)];
        blocks.Add(new Facts(
        [
            ("Run rules", string.Join("; ", (study.Options.Rules ?? ProcessCapability.ControlRules).Select(r => r.Words))),
            ("Chart limits", study.Options.SpanWords + "; centre ± 3 sigma, sigma from the moving range"),
            ("Other charts", "moving range beyond its limit; EWMA with weight 0.2 and limits of 2.7 sigma; CUSUM with slack 0.5 and limit 5 sigma, up and down"),
            ("Change and drift", "largest change of mean with the builds it lies between; Mann-Kendall test, Theil-Sen slope; told where proven at 5 %"),
            ("Never mixed", "stages, definitions" + (study.Options.AcrossRevisions ? "" : " and mould revisions")),
        ]));
        Yield(blocks, study);
        Rework(blocks, study);
        Signals(blocks, study);
        string[] short_ = [.. study.Lines.Where(l => l.Trend is null).GroupBy(l => l.Reason).Select(g => Invariant($"{g.Count()} place{(g.Count() == 1 ? "" : "s")}: {g.Key}{(g.All(l => l.Series.Builds.Count == 1) && g.Select(l => l.Series.Builds[0]).Distinct().Count() == 1 ? $" ({g.First().Series.Builds[0]})" : "")}"))];
        if (short_.Length + study.Missing.Count > 0)
        {
            blocks.Add(new Heading(1, "Not charted"));
            blocks.Add(new Bullets([.. short_, .. study.Missing]));
        }
        TrendLine[] drawn = [.. study.Lines.Where(l => l.Series.Values.Count > 1)];
        if (drawn.Length > 0)
        {
            TrendLine[] pages = everyPage || drawn.Length <= MostPages ? drawn : [.. drawn.Where(l => l.WantsLook).OrderByDescending(l => l.Signals.Sum(s => s.Points.Count) + l.Outside.Count).Take(MostPages)];
            blocks.Add(new Heading(1, "Charts"));
            blocks.Add(new Paragraph("First whole doors at once: a small chart for each place, in the order round the door outline. Then a page for each place: "
                + (pages.Length == drawn.Length ? "every one." : Invariant($"of {drawn.Length} places the {pages.Length} with most to look into, most first; --every-page gives all, --door and --characteristic narrow them."))));
            if (study.Yield is not null) blocks.AddRange(YieldCharts(study, study.Yield));
            foreach (var g in drawn.GroupBy(l => (l.Series.Key.Door, l.Series.Key.Characteristic, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould)))
                blocks.AddRange(StudyPage.Figures(SmallMultiples.Pages(string.Join(", ", new[] { $"Door {g.Key.Door}, {g.Key.Characteristic.Words}", g.First().Series.Key.MouldWords, g.Key.Stage is string stage ? $"stage {stage}" : "" }.Where(t => t.Length > 0)), [.. g])));
            blocks.AddRange(StudyPage.Figures(pages.SelectMany(SeriesChart.Pages)));
        }
        return StudyPage.Report(plan, study.Headline, "Control charts over builds", blocks);
    }

    private static void Yield(List<Block> blocks, TrendStudy study)
    {
        if (study.Yield is not FirstPassYield y) return;
        blocks.Add(new Heading(1, "First-pass yield"));
        blocks.Add(new Paragraph(Invariant($"{y.Passed} of {y.Builds} builds had nothing outside: {100 * y.Share:0} %, 95 % interval {100 * y.Interval.Low:0} to {100 * y.Interval.High:0} % (Wilson). Limits are taken as they stand. The chart below shows the share of each build's values within; its intervals take the places of a build as independent, which they are not quite.")));
    }

    private static IEnumerable<Block> YieldCharts(TrendStudy study, FirstPassYield y) => StudyPage.Figures(IntervalChart.Pages("First-pass yield by build", Invariant($"Full mark: nothing outside ({y.Passed} of {y.Builds} builds)."), "values within at first measuring, % of those limited, with 95 % interval",
            "Full: nothing outside. Open: something outside. In the order of making.", [.. study.ByBuild.Select(b => new IntervalItem(b.Build, 100 * b.Share, new(100 * b.Interval.Low, 100 * b.Interval.High), b.Within == b.Judged))], [(100, "100 %")]));

    private static void Rework(List<Block> blocks, TrendStudy study)
    {
        blocks.Add(new Heading(1, "What costs most rework"));
        if (study.Rework.Count == 0)
        {
            blocks.Add(new Paragraph("Nothing was outside."));
            return;
        }
        blocks.Add(new Paragraph("Every value outside its limits counts as one place to rework. A step follows from its flush: both are counted where both are limited."));
        blocks.Add(new Figure(ParetoChart.Draw(study.Rework), "Places to rework by zone and characteristic, most first.", OwnPage: false));
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
        blocks.Add(new Table([new("Place", 1.3), new("What", 1.2), new("Moulds", 1), new("Builds", 0.6, Align.Right), new("What is said", 6)],
            [.. look.Select(l => new Row([l.Series.Key.PlaceWords, l.Series.Key.Characteristic.Words, Mould(l.Series.Key), Invariant($"{l.Series.Values.Count}"), new Cell(l.Words.Replace("Look into it: ", "", StringComparison.Ordinal), l.HasSignal ? Mark.Doubt : null)]))],
            "Moulds: revision of the door mould / of the surround mould. Triangle: a chart signals; without it a change or drift alone is proven."));
    }

    internal static string Mould(SeriesKey key) => key.DoorMould is null && key.SurroundMould is null ? "-" : $"{key.DoorMould ?? "?"} / {key.SurroundMould ?? "?"}";
}
