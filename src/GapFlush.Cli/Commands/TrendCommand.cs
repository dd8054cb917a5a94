using System.CommandLine;
using GapFlush.Capability;
using GapFlush.Cli.Running;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Studies;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Is the process stable? Control charts over builds.</summary>
internal static class TrendCommand
{
    private static readonly Option<string?> DoorOption = new("--door") { Description = "Only this door.", HelpName = "D" };
    private static readonly Option<string?> CharacteristicOption = new("--characteristic") { Description = "Only this characteristic, by code (gap, flush, ...).", HelpName = "C" };
    private static readonly Option<string[]> RulesOption = new("--rules") { Description = $"Run rules for the chart of single values: {string.Join(", ", KnownRules().Select(r => $"{r.Code} ({r.Words})"))}.", HelpName = "RULE", AllowMultipleArgumentsPerToken = true };
    private static readonly Option<int?> BaseOption = new("--limits-from-first") { Description = "Take chart limits from the first so many builds only; without it from all.", HelpName = "N" };
    private static readonly Option<string?> SpanOption = new("--limits-from") { Description = "Take chart limits from these builds only, first and last in order of making (phase 1): D4-001..D4-012.", HelpName = "FIRST..LAST" };
    private static readonly Option<bool> EveryOption = new("--every-page") { Description = Invariant($"A page for every place in the report; without it only for those with something to look into, {TrendReport.MostPages} at most. All places are in the small charts in any case.") };
    private static readonly Option<bool> AcrossOption = new("--across-revisions") { Description = "Chart across mould revisions; without it each revision has its own chart." };

    public static Command Create()
    {
        Command command = new("trend",
            "Control charts over builds: single values and moving range with run rules, means and ranges of repeats, EWMA, CUSUM; change point, drift, first-pass yield, and what costs most rework.\n"
            + "Ends with 1 where a chart signals or a value lies outside limits.\nExample: gapflush trend plan --readings logs/D4-001.csv logs/D4-002.csv --door P1 --characteristic flush")
        {
            CommonOptions.Plan, CommonOptions.Readings, CommonOptions.Record, CommonOptions.Stage, DoorOption, CharacteristicOption, RulesOption, SpanOption, BaseOption, AcrossOption, StudyReport.Out, EveryOption, CommonOptions.Json, CommonOptions.Quiet,
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
        if (first < ProcessTrend.LeastValues) throw new RefusedException(Invariant($"--limits-from-first needs {ProcessTrend.LeastValues} builds or more."));
        if (first is not null && parse.GetValue(SpanOption) is not null) throw new RefusedException("--limits-from and --limits-from-first say the same thing in two ways; give one.");
        (FitPlan plan, var readings) = ManyBuildsLoading.Read(parse, talk);
        string? door = ManyBuildsLoading.Door(parse.GetValue(DoorOption), plan);
        TrendOptions options = new() { Door = door, Characteristic = characteristic, Rules = rules, FirstBuilds = first, Span = Span(parse.GetValue(SpanOption), plan, readings), AcrossRevisions = parse.GetValue(AcrossOption) };
        TrendStudy study = TrendStudy.Run(plan, ManyBuilds.Measure(plan, ManyBuildsLoading.Stage(parse, plan), readings), options);
        foreach (string missing in study.Missing) talk.Say($"notice: {missing}");
        StudyReport.Give(parse, talk, o => Print(study, o), Json(study), () => TrendReport.Compose(plan, study, parse.GetValue(EveryOption)));
        return study.WithSignals.Any() || study.Rework.Count > 0 ? ExitCode.NotAllWithin : ExitCode.AllWithin;
    }

    private static (string, string)? Span(string? text, FitPlan plan, IReadOnlyList<Reading> readings)
    {
        if (text is null) return null;
        string[] ends = text.Split("..");
        if (ends.Length != 2 || ends.Any(e => e.Trim().Length == 0)) throw new RefusedException($"--limits-from '{text}': expected the first and the last build with two dots between, such as D4-001..D4-012.");
        HashSet<string> known = [.. readings.Select(r => r.Build), .. plan.Builds.Select(b => b.Build)];
        foreach (string end in ends.Select(e => e.Trim()).Where(e => !known.Contains(e))) throw new RefusedException($"--limits-from: there is no build '{end}'. {NearestName.Remedy(end, [.. known])}");
        return (ends[0].Trim(), ends[1].Trim());
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
        ("rework", study.Rework.Select(r => JsonText.Object(("door", r.Door), ("zone", r.Zone), ("characteristic", r.Characteristic.Code), ("count", r.Count), ("builds", r.Builds), ("share_to_here", r.UpToHere)))),
        ("yield_by_build", study.ByBuild.Select(b => JsonText.Object(("build", b.Build), ("within", b.Within), ("judged", b.Judged), ("share", b.Share), ("lower_95", b.Interval.Low), ("upper_95", b.Interval.High)))),
        ("series", study.Lines.Select(l =>
        {
            (SeriesKey k, ProcessTrend? t) = (l.Series.Key, l.Trend);
            return JsonText.Object(("door", k.Door), ("zone", k.Zone), ("station", k.Station), ("characteristic", k.Characteristic.Code), ("stage", k.Stage), ("definition", k.Definition), ("door_mould", k.DoorMould), ("surround_mould", k.SurroundMould),
                ("builds", l.Series.Builds), ("values", l.Series.Values), ("centre", t?.Individuals.Centre), ("sigma", t?.Individuals.Sigma), ("lower_control", t?.Individuals.Lower), ("upper_control", t?.Individuals.Upper),
                ("range_upper_control", t?.Individuals.RangeUpper), ("ewma", t?.Ewma.Averages), ("cusum_up", t?.Cusum.Upper), ("cusum_down", t?.Cusum.Lower),
                ("reason", l.Reason), ("limits_from", l.Span is (int start, int count) ? l.Series.Builds.Skip(start).Take(count) : null), ("repeats", l.Repeats is not RepeatsChart x ? null : JsonText.Object(("each", x.Size), ("builds", x.Points.Select(p => l.Series.Builds[p - 1])), ("means", x.Chart.Means), ("mean_lower_control", x.MeanLimits.Lower), ("mean_upper_control", x.MeanLimits.Upper), ("spread", x.UsesRanges ? "range" : "standard-deviation"), ("spreads", x.Spreads), ("spread_upper_control", x.SpreadLimits.Upper), ("builds_differ_p", x.BetweenProbability))),
                ("signals", l.Signals.Select(s => JsonText.Object(("chart", s.Chart), ("rule", s.Rule), ("builds", s.Points.Select(p => l.Series.Builds[p - 1]))))),
                ("change", t?.Change is not ChangePoint c ? null : JsonText.Object(("last_before", l.Series.Builds[c.LastBefore - 1]), ("last_before_earliest", l.Series.Builds[c.LastBeforeInterval.First - 1]), ("last_before_latest", l.Series.Builds[c.LastBeforeInterval.Last - 1]),
                    ("mean_before", c.MeanBefore), ("mean_after", c.MeanAfter), ("p", c.Probability))),
                ("drift", t?.Trend is not { } d ? null : JsonText.Object(("slope_per_build", d.Slope), ("lower_95", d.SlopeInterval.Low), ("upper_95", d.SlopeInterval.High), ("p", d.Probability))));
        })));

    private static void Print(TrendStudy study, TextWriter o)
    {
        o.WriteLine(study.Answer);
        foreach (TrendLine l in study.Lines.Where(l => l.Trend is { } t && (l.HasSignal || t.HasChanged || t.Drifts)))
        {
            ProcessTrend t = l.Trend!;
            o.WriteLine();
            o.WriteLine(Invariant($"{l.Series.Key.PlaceWords} {l.Series.Key.Characteristic.Words} {l.Series.Key.MouldWords}: centre {t.Individuals.Centre:0.000}, sigma {t.Individuals.Sigma:0.000}, {l.Series.Values.Count} builds").Replace(" : ", ": ", StringComparison.Ordinal));
            foreach (ChartSignal s in l.Signals) o.WriteLine($"  {s.Chart}: {s.Rule}, at {l.Named(s.Points)}");
            if (t.HasChanged && t.Change is ChangePoint c) o.WriteLine($"  {l.ChangeWords(c)}");
            if (t.Drifts) o.WriteLine($"  {l.DriftWords}");
        }
        if (study.Rework.Count == 0) return;
        o.WriteLine();
        foreach (string line in TextTable.Lines(["rework", "characteristic", ">places outside", ">builds"],
            [.. study.Rework.Select(r => (IReadOnlyList<string>)[$"{r.Door} {r.Zone}".Trim(), r.Characteristic.Words, Invariant($"{r.Count}"), Invariant($"{r.Builds}")])])) o.WriteLine(line);
    }
}
