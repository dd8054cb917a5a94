using GapFlush.GaugeStudy;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Statistics;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>Is the gauge good enough? What measuring takes of the tolerance, what drives it, who reads how, what reference pieces say, and what verdicts should use.</summary>
public static class GaugeReport
{
    /// <summary>Composes the report.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="study">The study.</param>
    /// <param name="pieces">Studies of reference pieces; empty for none.</param>
    /// <param name="updates">What was written into gauges.csv; empty for nothing.</param>
    public static Report Compose(FitPlan plan, GaugeStudyRun study, IReadOnlyList<PieceStudy> pieces, IReadOnlyList<string> updates)
    {
        List<Block> blocks = [];
        foreach (GaugeLine l in study.Lines)
        {
            string words = l.Study is null ? $"{GaugeStudyRun.Name(l)}: {l.Words}." : l.PercentTolerance is double p ? Invariant($"{GaugeStudyRun.Name(l)}: {l.Words}; measuring takes {p:0} % of the tolerance.") : $"{GaugeStudyRun.Name(l)}: {l.Words}.";
            blocks.Add(StudyPage.Answer(words, l.PercentTolerance switch { null => Mark.Missing, <= 10 => Mark.Within, <= 30 => Mark.Undecided, _ => Mark.Outside }));
        }
        foreach (PieceStudy p in pieces) blocks.Add(StudyPage.Answer(p.Answer, p.WantsLook ? Mark.Undecided : Mark.Within));
        blocks.Add(new Paragraph("Share of the tolerance: six standard deviations of the measuring over the narrowest limits read. Up to 10 % is usually called good, up to 30 % fit for some uses: common practice, no source.", ParagraphRole.Note));
        foreach (GaugeLine l in study.Lines)
        {
            blocks.Add(new Heading(1, GaugeStudyRun.Name(l)));
            if (l.Study is CrossedStudy s) Crossed(blocks, plan, l, s);
            else blocks.Add(new Paragraph($"Not analysed: {l.Reason}.", ParagraphRole.Body, Mark.Missing));
        }
        foreach (PieceStudy p in pieces) Pieces(blocks, p);
        if (updates.Count > 0)
        {
            blocks.Add(new Heading(1, "Written into gauges.csv"));
            blocks.Add(new Bullets(updates));
        }
        blocks.Add(new Heading(1, "How it was reckoned"));
        blocks.Add(new Bullets(
        [
            "Places and inspectors are taken as drawn at random; analysis of variance with interaction, which is pooled with the repeats where it is not seen (p above 0.25).",
            "Unequal numbers of readings, or pairs not read: variances by restricted maximum likelihood, the test of the interaction exact.",
            "Intervals: repeatability by chi-square, exact; measuring by the modified large-sample method (unequal numbers: draws); the others by draws. Two or three inspectors leave them wide.",
            "The study sees what differs between readings, not an error that the gauge always makes: reference pieces and the certificate tell that.",
        ]));
        string headline = string.Join("; ", study.Lines.Select(l => $"{GaugeStudyRun.Name(l)}: {(l.Study is null ? "not analysed" : l.Words)}"));
        return StudyPage.Report(plan, headline.Length == 0 ? "There are no readings to study" : headline, "Gauge study", blocks);
    }

    private static void Crossed(List<Block> blocks, FitPlan plan, GaugeLine l, CrossedStudy s)
    {
        GaugeComponents g = s.Components;
        ComponentIntervals i = s.Intervals;
        (Interval repeat, Interval measuring) = s.SdIntervals();
        blocks.Add(new Paragraph(Invariant($"{s.Parts} places, {s.Operators} inspectors, {(s.IsBalanced ? Invariant($"{s.Trials} readings each") : Invariant($"{l.ReadingCount} readings, not the same number everywhere{(s.MissingCells > 0 ? Invariant($"; {s.MissingCells} of {s.Parts * s.Operators} pairs of place and inspector not read") : "")}"))}. Inspector by place: {(s.PoolsInteraction ? "not seen, pooled with repeatability" : "seen and kept apart")} (p = {s.InteractionTest.Probability:0.000}). ")
            + Invariant($"Kinds of place told apart: {g.Categories} (95 % interval {i.Categories.Low:0.0} to {i.Categories.High:0.0}; five or more is usual, common practice, no source).{(s.IsBalanced ? Invariant($" Average-and-range gives a measuring sd of {s.AverageRange().Measuring:0.0000} mm.") : "")}")));
        (string, double, Interval?)[] rows = [("repeatability: same inspector, same place again", g.Repeatability, repeat), ("reproducibility: another inspector, same place", g.Reproducibility, i.Reproducibility), ("of it inspectors", g.Operator, i.Inspector), ("of it inspector by place", g.Interaction, s.PoolsInteraction ? null : i.Interaction), ("measuring as a whole", g.Measuring, measuring), ("places", g.Part, i.Places), ("total", g.Total, null)];
        blocks.Add(new Table([new("Source", 4), new("sd, mm", 1, Align.Right), new("95 % interval", 2, Align.Right), new("% of variance", 1, Align.Right), new("% of total sd", 1, Align.Right), new("% of tolerance", 1, Align.Right)],
            [.. rows.Select(r => new Row([r.Item1, StudyPage.Figure(Math.Sqrt(r.Item2), 4), StudyPage.Range(r.Item3, 4), StudyPage.Figure(g.PercentContribution(r.Item2), 1), StudyPage.Figure(g.PercentStudy(r.Item2), 1), l.ToleranceMm is double t ? StudyPage.Figure(GaugeComponents.PercentTolerance(r.Item2, t), 1) : "-"], Strong: r.Item1.StartsWith("measuring", StringComparison.Ordinal)))],
            l.ToleranceMm is double width ? Invariant($"Tolerance: {width:0.##} mm, the narrowest limits of the places read. sd: standard deviation.") : "No two-sided limits at the places read."));
        blocks.Add(new Figure(GaugeChart.Draw(l), "Bars above or below the rest: that inspector reads high or low. Marks far apart: he or she scatters.", OwnPage: false));
        if (l.Gauge is string name && plan.FindGauge(name) is Gauge gauge)
            blocks.Add(new Paragraph(Invariant($"Expanded uncertainty from this study (k = 2): {l.ExpandedUncertainty:0.000} mm; gauges.csv says {(gauge.UncertaintyMm is double u ? Invariant($"{u:0.000} mm") : "nothing")}. Verdicts use gauges.csv; --update-gauges writes the study's into it.")));
    }

    private static void Pieces(List<Block> blocks, PieceStudy p)
    {
        blocks.Add(new Heading(1, $"Reference pieces: {p.Name}"));
        blocks.Add(new Table([new("Piece", 1.4), new("Certified, mm", 1, Align.Right), new("Readings", 0.8, Align.Right), new("Bias, mm", 1, Align.Right), new("95 % interval", 2, Align.Right), new("sd, mm", 1, Align.Right), new("Cg", 0.7, Align.Right), new("Cgk", 0.7, Align.Right), new("Note", 2)],
            [.. p.Pieces.Select(r => new Row([r.Piece, StudyPage.Figure(r.ReferenceMm, 3), Invariant($"{r.Study?.Readings.Count}"), r.Study is null ? "-" : StudyPage.Signed(r.Study.Bias, 3), r.Study is null ? "-" : $"{StudyPage.Signed(r.Study.BiasInterval().Low, 3)} to {StudyPage.Signed(r.Study.BiasInterval().High, 3)}", StudyPage.Figure(r.Study?.Readings.Sd, 4),
                p.ToleranceMm is null ? "-" : StudyPage.Figure(r.Study?.Cg(), 2), p.ToleranceMm is null ? "-" : StudyPage.Figure(r.Study?.Cgk(), 2), r.Reason ?? (r.Study?.Readings.Count < 25 ? "fewer than the usual 25 readings" : "")]))],
            Invariant($"Cg = 0.2 T / 6 s, Cgk = (0.1 T - |bias|) / 3 s, T = {p.ToleranceMm:0.##} mm; {PieceStudy.LeastCg} is usually asked: common practice, no source.")));
        if (p.Linearity is not LinearityStudy n) return;
        blocks.Add(new Paragraph(Invariant($"Linearity: the bias changes by {n.Slope:+0.00000;-0.00000} mm a mm of size (95 % interval {n.SlopeInterval.Low:+0.00000;-0.00000} to {n.SlopeInterval.High:+0.00000;-0.00000}, p = {n.SlopeProbability:0.000}); at {n.MiddleMm:0.00} mm it is {n.BiasMm:+0.0000;-0.0000} mm ({n.BiasInterval.Low:+0.0000;-0.0000} to {n.BiasInterval.High:+0.0000;-0.0000}).")));
    }
}
