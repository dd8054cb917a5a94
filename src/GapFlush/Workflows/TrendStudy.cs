using GapFlush.Capability;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>Is the process stable? Charts of every place over builds, first-pass yield, and what costs most rework.</summary>
/// <param name="Options">What was asked.</param>
/// <param name="Lines">In the order of the plan, which goes round the door outline; within a place the newest mould revision first.</param>
/// <param name="Yield">First-pass yield over builds, limits taken as they stand; null where nothing is limited.</param>
/// <param name="ByBuild">The share of each build that was within, in order of making.</param>
/// <param name="Rework">What was outside, most first.</param>
public sealed record TrendStudy(TrendOptions Options, IReadOnlyList<TrendLine> Lines, FirstPassYield? Yield, IReadOnlyList<BuildYield> ByBuild, IReadOnlyList<ReworkCount> Rework)
{
    /// <summary>Runs the study.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="measurements">Measurements at plan conditions of many builds.</param>
    /// <param name="options">What to chart; null for everything.</param>
    public static TrendStudy Run(FitPlan plan, IReadOnlyList<Measurement> measurements, TrendOptions? options = null)
    {
        TrendOptions o = options ?? new();
        BuildOrder order = new(plan, measurements.Select(m => m.Build));
        IReadOnlyList<MeasuredSeries> all = MeasuredSeries.Sort(plan, measurements, o.AcrossRevisions);
        MeasuredSeries[] series = [.. all.Where(s => (o.Door is null || s.Key.Door == o.Door) && (o.Characteristic is null || s.Key.Characteristic == o.Characteristic))];
        TrendLine[] lines = [.. series.AsParallel().AsOrdered().Select(s => Chart(plan, o, order, s))];
        List<(Measurement Measurement, bool Outside)> judged = [];
        foreach (TrendLine l in lines.Where(l => l.Limits is not null)) judged.AddRange(l.Series.Measurements.Select(m => (m, l.Limits!.Excess(m.Value!.Value) > 0)));
        BuildYield[] byBuild = [.. judged.GroupBy(j => j.Measurement.Build).OrderBy(g => order.Place(g.Key)).Select(g =>
        {
            (int within, int count) = (g.Count(j => !j.Outside), g.Count());
            return new BuildYield(g.Key, within, count, Proportion.Wilson(within, count));
        })];
        int passed = byBuild.Count(b => b.Within == b.Judged);
        return new(o, lines, byBuild.Length == 0 ? null : new(passed, byBuild.Length, Proportion.Wilson(passed, byBuild.Length)), byBuild, Counted(judged)) { Missing = SealsOverBuilds.Missing(plan, [.. all.Select(s => (s.Key, s.Builds))], o.Door, o.Characteristic) };
    }

    /// <summary>What could not be studied and why, a sentence each.</summary>
    public IReadOnlyList<string> Missing { get; init; } = [];

    /// <summary>Lines on which a chart signals.</summary>
    public IEnumerable<TrendLine> WithSignals => Lines.Where(l => l.HasSignal);

    /// <summary>What the charts of each door say together.</summary>
    public IReadOnlyList<DoorTally> ByDoor => _byDoor ??= DoorTally.Of(Lines);

    /// <summary>Builds at which several charts of one door begin to signal, most places first.</summary>
    public IReadOnlyList<SignalledBuild> AtBuilds => _atBuilds ??= SignalledBuild.Of(Lines);

    private DoorTally[]? _byDoor;
    private SignalledBuild[]? _atBuilds;

    /// <summary>Charts of steps that signal: a step follows from its flush and ends at 0, so that by chance it signals oftener.</summary>
    public int StepSignals => WithSignals.Count(l => l.Series.Key.Characteristic == Characteristic.StepForward || l.Series.Key.Characteristic == Characteristic.StepAft);

    /// <summary>The answer in a few words.</summary>
    public string Headline
    {
        get
        {
            int charted = Lines.Count(l => l.Trend is not null), signals = WithSignals.Count();
            return charted == 0 ? Invariant($"There is nothing to chart: it takes {ProcessTrend.LeastValues} builds or more of one place, stage, definition and mould revision")
                : signals == 0 ? Invariant($"Stable: none of {charted} charts signals") : Invariant($"Look into it: {signals} of {charted} charts signal");
        }
    }

    /// <summary>The answer in one sentence.</summary>
    public string Answer
    {
        get
        {
            string yield = Yield is null ? "" : Invariant($"; {Yield.Passed} of {Yield.Builds} builds had nothing outside ({100 * Yield.Share:0} %, 95 % interval {100 * Yield.Interval.Low:0} to {100 * Yield.Interval.High:0} %)");
            string most = Rework.Count == 0 ? "" : Invariant($"; most rework: {Rework[0].Words}, {Rework[0].Count} places on {Rework[0].Builds} builds");
            string steps = StepSignals == 0 ? "" : Invariant($" {StepSignals} of the signals are of steps, which follow from flush.");
            return $"{Headline}{yield}{most}.{steps}";
        }
    }

    private static TrendLine Chart(FitPlan plan, TrendOptions o, BuildOrder order, MeasuredSeries s)
    {
        Limits? limits = plan.Limits.For(s.Key.Characteristic, s.Key.Door, s.Key.Zone, s.Key.Station, s.Key.Stage)?.Limits;
        (int Start, int Count)? span = null;
        if (o.Span is (string first, string last))
        {
            int[] inside = [.. Enumerable.Range(0, s.Builds.Count).Where(i => order.Place(s.Builds[i]) >= order.Place(first) && order.Place(s.Builds[i]) <= order.Place(last))];
            span = (inside.Length == 0 ? 0 : inside[0], inside.Length);
        }
        else if (o.FirstBuilds is int n) span = (0, Math.Min(n, s.Values.Count));
        ProcessTrend? trend = ProcessTrend.Of(s.Values, o.Rules, span);
        string? reason = trend is not null ? null
            : s.Values.Count < ProcessTrend.LeastValues ? Invariant($"{s.Values.Count} build{(s.Values.Count == 1 ? "" : "s")}; it takes {ProcessTrend.LeastValues}")
            : span?.Count < ProcessTrend.LeastValues ? Invariant($"{span.Value.Count} of its builds lie in the span that limits come from; it takes {ProcessTrend.LeastValues}")
            : "no spread from build to build to set limits by";
        return new(s, trend, RepeatsChart.Of([.. s.Measurements.Select(TrendLine.RepeatsOf)]), limits, span, reason);
    }

    private static ReworkCount[] Counted(List<(Measurement Measurement, bool Outside)> judged)
    {
        var counts = judged.Where(j => j.Outside).GroupBy(j => (j.Measurement.Door, j.Measurement.Zone, j.Measurement.Characteristic)).Select(g => (g.Key, Count: g.Count(), Builds: g.Select(j => j.Measurement.Build).Distinct().Count())).OrderByDescending(c => c.Count).ToArray();
        double all = counts.Sum(c => c.Count), sum = 0;
        return [.. counts.Select(c => new ReworkCount(c.Key.Door, c.Key.Zone, c.Key.Characteristic, c.Count, c.Builds, (sum += c.Count) / all))];
    }
}
