using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.GaugeStudy;
using GapFlush.Plan;
using GapFlush.Reports.Studies;
using GapFlush.Statistics;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Is the gauge good enough? Repeatability and reproducibility of the measuring itself.</summary>
internal static class GaugeStudyCommand
{
    public static Command Create()
    {
        Command command = new("gauge-study",
            "Repeatability and reproducibility of the measuring: every inspector reads every place several times. Analysis of variance with interaction, average-and-range beside it.\n"
            + "Ends with 1 where a study cannot be analysed, or measuring takes more than 30 % of the tolerance (common practice).\nExample: gapflush gauge-study plan --readings logs/gauge-study.csv")
        {
            CommonOptions.Plan, CommonOptions.Readings, StudyReport.Out, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        (FitPlan plan, var readings) = ManyBuildsLoading.Read(parse, talk, takesRecord: false);
        GaugeStudyRun study = GaugeStudyRun.Run(plan, readings);
        StudyReport.Give(parse, talk, o => Print(plan, study, o), study.Lines.Select(Json), () => GaugeReport.Compose(plan, study));
        return study.Lines.All(l => l.Study is not null && !(l.PercentTolerance > 30)) ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }

    private static Dictionary<string, object?> Json(GaugeLine l)
    {
        CrossedStudy? s = l.Study;
        GaugeComponents? g = s?.Components;
        (Interval Repeatability, Interval Measuring)? intervals = s?.SdIntervals();
        object? Component(double? variance) => variance is not double v ? null
            : JsonText.Object(("sd", Math.Sqrt(v)), ("percent_contribution", g!.PercentContribution(v)), ("percent_study", g.PercentStudy(v)), ("percent_tolerance", l.ToleranceMm is double t ? GaugeComponents.PercentTolerance(v, t) : null));
        return JsonText.Object(("characteristic", l.Characteristic.Code), ("gauge", l.Gauge), ("readings", l.ReadingCount), ("places", s?.Parts), ("inspectors", s?.Operators), ("repeats", s?.Trials), ("tolerance", l.ToleranceMm), ("reason", l.Reason),
            ("interaction_p", s?.InteractionTest.Probability), ("interaction_pooled", s?.PoolsInteraction),
            ("repeatability", Component(g?.Repeatability)), ("reproducibility", Component(g?.Reproducibility)), ("interaction", Component(g?.Interaction)), ("measuring", Component(g?.Measuring)), ("places_variation", Component(g?.Part)), ("total", Component(g?.Total)),
            ("repeatability_sd_lower_95", intervals?.Repeatability.Low), ("repeatability_sd_upper_95", intervals?.Repeatability.High), ("measuring_sd_lower_95", intervals?.Measuring.Low), ("measuring_sd_upper_95", intervals?.Measuring.High),
            ("categories", g?.Categories), ("average_range_sd", s?.AverageRange().Measuring), ("expanded_uncertainty", l.ExpandedUncertainty), ("verdict", l.Words));
    }

    private static void Print(FitPlan plan, GaugeStudyRun study, TextWriter o)
    {
        o.WriteLine(study.Answer);
        foreach (GaugeLine l in study.Lines)
        {
            o.WriteLine();
            o.WriteLine($"{GaugeStudyRun.Name(l)}: {l.Words}");
            if (l.Study is not CrossedStudy s) continue;
            GaugeComponents g = s.Components;
            (Interval repeat, Interval measuring) = s.SdIntervals();
            o.WriteLine(Invariant($"  {s.Parts} places, {s.Operators} inspectors, {s.Trials} readings each; interaction {(s.PoolsInteraction ? "not seen, pooled with repeatability" : "seen and kept apart")} (p = {s.InteractionTest.Probability:0.000})"));
            foreach (string line in TextTable.Lines(["source", ">sd mm", ">% of variance", ">% of study", ">% of tolerance"],
                [.. new (string, double)[] { ("repeatability", g.Repeatability), ("reproducibility", g.Reproducibility), ("  inspector", g.Operator), ("  inspector by place", g.Interaction), ("measuring", g.Measuring), ("places", g.Part), ("total", g.Total) }
                    .Select(c => (IReadOnlyList<string>)[c.Item1, TextTable.Figure(Math.Sqrt(c.Item2), 4), TextTable.Figure(g.PercentContribution(c.Item2), 1), TextTable.Figure(g.PercentStudy(c.Item2), 1), l.ToleranceMm is double t ? TextTable.Figure(GaugeComponents.PercentTolerance(c.Item2, t), 1) : "-"])])) o.WriteLine("  " + line);
            o.WriteLine(Invariant($"  95 % intervals: repeatability {repeat.Low:0.0000} to {repeat.High:0.0000} mm, measuring {measuring.Low:0.0000} to {measuring.High:0.0000} mm"));
            o.WriteLine(Invariant($"  kinds of place told apart: {g.Categories}; average-and-range gives a measuring sd of {s.AverageRange().Measuring:0.0000} mm"));
            if (l.Gauge is string name && plan.FindGauge(name) is Gauge gauge)
                o.WriteLine(Invariant($"  expanded uncertainty from this study (k = 2): {l.ExpandedUncertainty:0.000} mm; gauges.csv says {(gauge.UncertaintyMm is double u ? Invariant($"{u:0.000} mm") : "nothing")}. Certificate errors are not in the study: enter the larger."));
        }
    }
}
