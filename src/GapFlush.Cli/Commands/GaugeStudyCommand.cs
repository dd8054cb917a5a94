using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.GaugeStudy;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Reports.Studies;
using GapFlush.Statistics;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Is the gauge good enough? Repeatability and reproducibility of the measuring itself.</summary>
internal static class GaugeStudyCommand
{
    private static readonly Option<string?> PiecesOption = new("--pieces") { Description = "Readings of reference pieces (columns gauge, piece, reference, value; optional characteristic, tolerance): bias, Cg and Cgk of each, and linearity.", HelpName = "F" };
    private static readonly Option<GaugeUpdateRule?> UpdateOption = new("--update-gauges") { Description = "Write the expanded uncertainty of each gauge studied into the plan's gauges.csv, which verdicts then use: only where it is larger than what stands there, or the study's in any case.", HelpName = "larger|study" };

    public static Command Create()
    {
        Command command = new("gauge-study",
            "Repeatability and reproducibility of the measuring: every inspector reads every place several times. Analysis of variance with interaction, average-and-range beside it.\n"
            + "Ends with 1 where a study cannot be analysed, or measuring takes more than 30 % of the tolerance (common practice).\nExample: gapflush gauge-study plan --readings logs/gauge-study.csv")
        {
            CommonOptions.Plan, CommonOptions.Readings, PiecesOption, UpdateOption, StudyReport.Out, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        (FitPlan plan, var readings) = ManyBuildsLoading.Read(parse, talk, takesRecord: false);
        GaugeStudyRun study = GaugeStudyRun.Run(plan, readings);
        IReadOnlyList<PieceStudy> pieces = [];
        if (parse.GetValue(PiecesOption) is string file) pieces = PieceStudy.Run(plan, PieceReadingsReader.Read(Disk.Input(file)).Use(talk));
        GaugesUpdate? update = null;
        string gauges = Path.Combine(parse.GetValue(CommonOptions.Plan)!, "gauges.csv");
        if (parse.GetValue(UpdateOption) is GaugeUpdateRule rule)
        {
            if (!File.Exists(gauges)) throw new RefusedException("the plan has no gauges.csv to write into; add one with the columns gauge, kind, resolution, uncertainty, coverage_factor, calibration_due.");
            update = GaugesUpdate.Of(File.ReadAllBytes(gauges), gauges, study, pieces, rule).Use(talk);
        }
        StudyReport.Give(parse, talk, o => Print(plan, study, pieces, update, o), (object[])[.. study.Lines.Select(Json), .. pieces.Select(Json)], () => GaugeReport.Compose(plan, study, pieces, update?.Changes ?? []),
            update is { HasChanged: true } ? (Path.GetFullPath(gauges), update.Bytes) : null);
        return study.Lines.All(l => l.Study is not null && !(l.PercentTolerance > 30)) && !pieces.Any(p => p.WantsLook) ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }

    private static Dictionary<string, object?> Json(GaugeLine l)
    {
        CrossedStudy? s = l.Study;
        GaugeComponents? g = s?.Components;
        (Interval Repeatability, Interval Measuring)? intervals = s?.SdIntervals();
        object? Component(double? variance, Interval? i = null) => variance is not double v ? null
            : JsonText.Object(("sd", Math.Sqrt(v)), ("sd_lower_95", i?.Low), ("sd_upper_95", i?.High), ("percent_contribution", g!.PercentContribution(v)), ("percent_study", g.PercentStudy(v)), ("percent_tolerance", l.ToleranceMm is double t ? GaugeComponents.PercentTolerance(v, t) : null));
        return JsonText.Object(("characteristic", l.Characteristic.Code), ("gauge", l.Gauge), ("readings", l.ReadingCount), ("places", s?.Parts), ("inspectors", s?.Operators), ("repeats", s?.Trials), ("tolerance", l.ToleranceMm), ("reason", l.Reason),
            ("interaction_p", s?.InteractionTest.Probability), ("interaction_pooled", s?.PoolsInteraction),
            ("repeatability", Component(g?.Repeatability, intervals?.Repeatability)), ("reproducibility", Component(g?.Reproducibility, s?.Intervals.Reproducibility)), ("interaction", Component(g?.Interaction, s?.PoolsInteraction == false ? s.Intervals.Interaction : null)), ("measuring", Component(g?.Measuring, intervals?.Measuring)), ("places_variation", Component(g?.Part, s?.Intervals.Places)), ("total", Component(g?.Total)),
            ("repeatability_sd_lower_95", intervals?.Repeatability.Low), ("repeatability_sd_upper_95", intervals?.Repeatability.High), ("measuring_sd_lower_95", intervals?.Measuring.Low), ("measuring_sd_upper_95", intervals?.Measuring.High),
            ("inspector", Component(g?.Operator, s?.Intervals.Inspector)), ("balanced", s?.IsBalanced), ("missing_cells", s?.MissingCells), ("categories", g?.Categories), ("categories_lower_95", s?.Intervals.Categories.Low), ("categories_upper_95", s?.Intervals.Categories.High), ("average_range_sd", s is { IsBalanced: true } ? s.AverageRange().Measuring : null), ("expanded_uncertainty", l.ExpandedUncertainty), ("verdict", l.Words));
    }

    private static void Print(FitPlan plan, GaugeStudyRun study, IReadOnlyList<PieceStudy> pieces, GaugesUpdate? update, TextWriter o)
    {
        o.WriteLine(study.Answer);
        foreach (GaugeLine l in study.Lines)
        {
            o.WriteLine();
            o.WriteLine($"{GaugeStudyRun.Name(l)}: {l.Words}");
            if (l.Study is not CrossedStudy s) continue;
            GaugeComponents g = s.Components;
            (Interval repeat, Interval measuring) = s.SdIntervals();
            ComponentIntervals i = s.Intervals;
            o.WriteLine(Invariant($"  {s.Parts} places, {s.Operators} inspectors, {(s.IsBalanced ? Invariant($"{s.Trials} readings each") : Invariant($"unequal numbers of readings{(s.MissingCells > 0 ? Invariant($", {s.MissingCells} of {s.Parts * s.Operators} pairs of place and inspector not read") : "")} (restricted maximum likelihood)"))}; interaction {(s.PoolsInteraction ? "not seen, pooled with repeatability" : "seen and kept apart")} (p = {s.InteractionTest.Probability:0.000})"));
            foreach (string line in TextTable.Lines(["source", ">sd mm", ">95 % interval", ">% of variance", ">% of study", ">% of tolerance"],
                [.. new (string, double, Interval?)[] { ("repeatability", g.Repeatability, repeat), ("reproducibility", g.Reproducibility, i.Reproducibility), ("  inspector", g.Operator, i.Inspector), ("  inspector by place", g.Interaction, s.PoolsInteraction ? null : i.Interaction), ("measuring", g.Measuring, measuring), ("places", g.Part, i.Places), ("total", g.Total, null) }
                    .Select(c => (IReadOnlyList<string>)[c.Item1, TextTable.Figure(Math.Sqrt(c.Item2), 4), c.Item3 is Interval e ? Invariant($"{e.Low:0.0000} to {e.High:0.0000}") : "-", TextTable.Figure(g.PercentContribution(c.Item2), 1), TextTable.Figure(g.PercentStudy(c.Item2), 1), l.ToleranceMm is double t ? TextTable.Figure(GaugeComponents.PercentTolerance(c.Item2, t), 1) : "-"])])) o.WriteLine("  " + line);
            o.WriteLine(Invariant($"  kinds of place told apart: {g.Categories} (95 % interval {i.Categories.Low:0.0} to {i.Categories.High:0.0}){(s.IsBalanced ? Invariant($"; average-and-range gives a measuring sd of {s.AverageRange().Measuring:0.0000} mm") : "")}"));
            if (l.Gauge is string name && plan.FindGauge(name) is Gauge gauge)
                o.WriteLine(Invariant($"  expanded uncertainty from this study (k = 2): {l.ExpandedUncertainty:0.000} mm; gauges.csv says {(gauge.UncertaintyMm is double u ? Invariant($"{u:0.000} mm") : "nothing")}. Certificate errors are not in the study: enter the larger."));
        }
        foreach (PieceStudy p in pieces)
        {
            o.WriteLine();
            o.WriteLine(p.Answer);
            foreach (string line in TextTable.Lines(["piece", ">reference mm", ">readings", ">bias mm", ">95 % interval", ">p", ">sd mm", ">Cg", ">Cgk", "note"],
                [.. p.Pieces.Select(r => (IReadOnlyList<string>)[r.Piece, TextTable.Figure(r.ReferenceMm, 3), TextTable.Figure(r.Study?.Readings.Count, 0), TextTable.Figure(r.Study?.Bias, 4), r.Study is { } t ? Invariant($"{t.BiasInterval().Low:+0.0000;-0.0000} to {t.BiasInterval().High:+0.0000;-0.0000}") : "-", TextTable.Figure(r.Study?.BiasProbability, 3), TextTable.Figure(r.Study?.Readings.Sd, 4),
                    p.ToleranceMm is null ? "-" : TextTable.Figure(r.Study?.Cg(), 2), p.ToleranceMm is null ? "-" : TextTable.Figure(r.Study?.Cgk(), 2), r.Reason ?? (r.Study?.Readings.Count < 25 ? "fewer than the usual 25 readings" : "")])])) o.WriteLine("  " + line);
            if (p.Linearity is { } n) o.WriteLine(Invariant($"  linearity: bias {n.BiasMm:+0.0000;-0.0000} mm at {n.MiddleMm:0.00} mm ({n.BiasInterval.Low:+0.0000;-0.0000} to {n.BiasInterval.High:+0.0000;-0.0000}), slope {n.Slope:+0.00000;-0.00000} ({n.SlopeInterval.Low:+0.00000;-0.00000} to {n.SlopeInterval.High:+0.00000;-0.00000}), p = {n.SlopeProbability:0.000}"));
        }
        if (update is null) return;
        o.WriteLine();
        o.WriteLine("gauges.csv:");
        foreach (string change in update.Changes) o.WriteLine("  " + change);
    }

    private static Dictionary<string, object?> Json(PieceStudy p) => JsonText.Object(("characteristic", p.Characteristic?.Code), ("gauge", p.Gauge), ("tolerance", p.ToleranceMm), ("answer", p.Answer),
        ("pieces", p.Pieces.Select(r => JsonText.Object(("piece", r.Piece), ("reference", r.ReferenceMm), ("readings", r.Study?.Readings.Count), ("bias", r.Study?.Bias), ("bias_lower_95", r.Study?.BiasInterval().Low), ("bias_upper_95", r.Study?.BiasInterval().High), ("bias_p", r.Study?.BiasProbability), ("sd", r.Study?.Readings.Sd),
            ("cg", p.ToleranceMm is null ? null : r.Study?.Cg()), ("cgk", p.ToleranceMm is null ? null : r.Study?.Cgk()), ("reason", r.Reason)))),
        ("linearity", p.Linearity is not { } n ? null : JsonText.Object(("slope", n.Slope), ("slope_lower_95", n.SlopeInterval.Low), ("slope_upper_95", n.SlopeInterval.High), ("slope_p", n.SlopeProbability), ("bias_middle", n.BiasMm), ("bias_middle_lower_95", n.BiasInterval.Low), ("bias_middle_upper_95", n.BiasInterval.High))));
}
