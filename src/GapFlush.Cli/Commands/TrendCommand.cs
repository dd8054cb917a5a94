using System.CommandLine;
using GapFlush.Capability;
using GapFlush.Cli.Running;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Is the process stable? Control charts over builds.</summary>
internal static class TrendCommand
{
    private static readonly Option<string?> DoorOption = new("--door") { Description = "Only this door.", HelpName = "D" };
    private static readonly Option<string?> CharacteristicOption = new("--characteristic") { Description = "Only this characteristic, by code (gap, flush, ...).", HelpName = "C" };
    private static readonly Option<string[]> RulesOption = new("--rules") { Description = $"Run rules for the chart of single values: {string.Join(", ", KnownRules().Select(r => $"{r.Code} ({r.Words})"))}.", HelpName = "RULE", AllowMultipleArgumentsPerToken = true };
    private static readonly Option<int?> BaseOption = new("--limits-from-first") { Description = "Take chart limits from the first so many builds only; without it from all.", HelpName = "N" };
    private static readonly Option<bool> AcrossOption = new("--across-revisions") { Description = "Chart across mould revisions; without it each revision has its own chart." };

    public static Command Create()
    {
        Command command = new("trend",
            "Control charts over builds: single values and moving range with run rules, EWMA, CUSUM; change point, drift, first-pass yield, and what costs most rework.\n"
            + "Ends with 1 where a chart signals or a value lies outside limits.\nExample: gapflush trend plan --readings logs/D4-001.csv logs/D4-002.csv --door P1 --characteristic flush")
        {
            CommonOptions.Plan, CommonOptions.Readings, CommonOptions.Stage, DoorOption, CharacteristicOption, RulesOption, BaseOption, AcrossOption, StudyReport.Out, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static IReadOnlyList<RunRule> KnownRules() => [.. RunRule.Nelson, RunRule.SameSide(8), RunRule.SameSide(7)];

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        Characteristic? characteristic = ManyBuildsLoading.CharacteristicOf(parse.GetValue(CharacteristicOption));
        IReadOnlyList<RunRule>? rules = Rules(parse.GetValue(RulesOption) ?? []);
        int? first = parse.GetValue(BaseOption);
        if (first < 2) throw new RefusedException("--limits-from-first needs two builds or more.");
        (FitPlan plan, var readings) = ManyBuildsLoading.Read(parse, talk);
        string? door = ManyBuildsLoading.Door(parse.GetValue(DoorOption), plan);
        TrendStudy study = TrendStudy.Run(plan, ManyBuilds.Measure(plan, ManyBuildsLoading.Stage(parse, plan), readings), door, characteristic, rules, first, parse.GetValue(AcrossOption));
        StudyReport.Give(parse, talk, "Control charts over builds", study.Answer, o => Print(study, o), Json(study), () => Charts(study));
        return study.WithSignals.Any() || study.Rework.Count > 0 ? ExitCode.NotAllWithin : ExitCode.AllWithin;
    }

    private static List<RunRule>? Rules(string[] codes)
    {
        if (codes.Length == 0) return null;
        IReadOnlyList<RunRule> known = KnownRules();
        return [.. codes.SelectMany(c => c.Split(',')).Select(c => known.FirstOrDefault(r => r.Code == c.Trim()) ?? throw new RefusedException($"there is no run rule '{c}'. Rules: {string.Join(", ", known.Select(r => r.Code))}."))];
    }

    private static Dictionary<string, object?> Json(TrendStudy study) => JsonText.Object(
        ("answer", study.Answer),
        ("first_pass_yield", study.Yield is not FirstPassYield y ? null : JsonText.Object(("passed", y.Passed), ("builds", y.Builds), ("share", y.Share), ("lower_95", y.Interval.Low), ("upper_95", y.Interval.High))),
        ("rework", study.Rework.Select(r => JsonText.Object(("door", r.Door), ("zone", r.Zone), ("characteristic", r.Characteristic.Code), ("count", r.Count), ("builds", r.Builds)))),
        ("series", study.Lines.Select(l =>
        {
            (SeriesKey k, ProcessTrend? t) = (l.Series.Key, l.Trend);
            return JsonText.Object(("door", k.Door), ("zone", k.Zone), ("station", k.Station), ("characteristic", k.Characteristic.Code), ("stage", k.Stage), ("definition", k.Definition), ("door_mould", k.DoorMould), ("surround_mould", k.SurroundMould),
                ("builds", l.Series.Builds), ("values", l.Series.Values), ("centre", t?.Individuals.Centre), ("sigma", t?.Individuals.Sigma), ("lower_control", t?.Individuals.Lower), ("upper_control", t?.Individuals.Upper),
                ("range_upper_control", t?.Individuals.RangeUpper), ("ewma", t?.Ewma.Averages), ("cusum_up", t?.Cusum.Upper), ("cusum_down", t?.Cusum.Lower),
                ("signals", t?.Signals.Select(s => JsonText.Object(("chart", s.Chart), ("rule", s.Rule), ("builds", s.Points.Select(p => l.Series.Builds[p - 1]))))),
                ("change", t?.Change is not ChangePoint c ? null : JsonText.Object(("last_before", l.Series.Builds[c.LastBefore - 1]), ("last_before_earliest", l.Series.Builds[c.LastBeforeInterval.First - 1]), ("last_before_latest", l.Series.Builds[c.LastBeforeInterval.Last - 1]),
                    ("mean_before", c.MeanBefore), ("mean_after", c.MeanAfter), ("p", c.Probability))),
                ("drift", t?.Trend is not { } d ? null : JsonText.Object(("slope_per_build", d.Slope), ("lower_95", d.SlopeInterval.Low), ("upper_95", d.SlopeInterval.High), ("p", d.Probability))));
        })));

    private static void Print(TrendStudy study, TextWriter o)
    {
        o.WriteLine(study.Answer);
        foreach (TrendLine l in study.Lines.Where(l => l.Trend is { } t && (t.HasSignal || t.HasChanged || t.Drifts)))
        {
            ProcessTrend t = l.Trend!;
            o.WriteLine();
            o.WriteLine(Invariant($"{l.Series.Key.PlaceWords} {l.Series.Key.Characteristic.Words} {l.Series.Key.MouldWords}: centre {t.Individuals.Centre:0.000}, sigma {t.Individuals.Sigma:0.000}, {l.Series.Values.Count} builds").Replace(" : ", ": ", StringComparison.Ordinal));
            foreach (ChartSignal s in t.Signals) o.WriteLine($"  {s.Chart}: {s.Rule}, at {Named(l, s.Points)}");
            if (t.HasChanged && t.Change is ChangePoint c)
                o.WriteLine(Invariant($"  change of mean after {l.Series.Builds[c.LastBefore - 1]} ({l.Series.Builds[c.LastBeforeInterval.First - 1]} to {l.Series.Builds[c.LastBeforeInterval.Last - 1]}): {c.MeanBefore:0.000} before, {c.MeanAfter:0.000} after"));
            if (t.Drifts && t.Trend is { } d) o.WriteLine(Invariant($"  drift of {d.Slope:+0.0000;-0.0000} a build (95 % interval {d.SlopeInterval.Low:+0.0000;-0.0000} to {d.SlopeInterval.High:+0.0000;-0.0000})"));
        }
        if (study.Rework.Count == 0) return;
        o.WriteLine();
        foreach (string line in TextTable.Lines(["rework", "characteristic", ">places outside", ">builds"],
            [.. study.Rework.Select(r => (IReadOnlyList<string>)[$"{r.Door} {r.Zone}".Trim(), r.Characteristic.Words, Invariant($"{r.Count}"), Invariant($"{r.Builds}")])])) o.WriteLine(line);
    }

    private static string Named(TrendLine l, IReadOnlyList<int> points) =>
        string.Join(", ", points.Take(6).Select(p => l.Series.Builds[p - 1])) + (points.Count > 6 ? Invariant($" and {points.Count - 6} more") : "");

    private static IEnumerable<Sheet> Charts(TrendStudy study) =>
    [
        .. study.Lines.Where(l => l.Series.Values.Count > 1).GroupBy(l => (l.Series.Key.Door, l.Series.Key.Characteristic, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould)).SelectMany(g =>
            SeriesChart.SmallMultiples(string.Join(", ", new[] { $"Door {g.Key.Door}, {g.Key.Characteristic.Words}", g.First().Series.Key.MouldWords, g.Key.Stage }.Where(t => !string.IsNullOrEmpty(t))), [.. g])),
        .. study.Lines.Where(l => l.Series.Values.Count > 1).Select(SeriesChart.Page),
    ];
}
