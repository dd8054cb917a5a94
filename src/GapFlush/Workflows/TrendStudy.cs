using GapFlush.Capability;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>The charts of one series.</summary>
/// <param name="Series">The series.</param>
/// <param name="Trend">What the charts say; null where there are too few values or none differs from the next.</param>
/// <param name="Limits">The plan's limits, or null.</param>
public sealed record TrendLine(MeasuredSeries Series, ProcessTrend? Trend, Limits? Limits);

/// <summary>How many builds passed at once.</summary>
/// <param name="Passed">Builds with no value outside.</param>
/// <param name="Builds">Builds.</param>
/// <param name="Interval">95 % interval of the share (Wilson).</param>
public sealed record FirstPassYield(int Passed, int Builds, Interval Interval)
{
    /// <summary>The share.</summary>
    public double Share => (double)Passed / Builds;
}

/// <summary>How often a zone was outside in one characteristic: each value outside is a place to rework.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Zone">Zone, or null for the whole door.</param>
/// <param name="Characteristic">Characteristic.</param>
/// <param name="Count">Values outside.</param>
/// <param name="Builds">Builds with at least one of them.</param>
public sealed record ReworkCount(string Door, string? Zone, Characteristic Characteristic, int Count, int Builds);

/// <summary>Is the process stable? Charts of every place over builds, first-pass yield, and what costs most rework.</summary>
/// <param name="Lines">In the order of the plan.</param>
/// <param name="Yield">First-pass yield by build, limits taken as they stand; null where nothing is limited.</param>
/// <param name="Rework">What was outside, most first.</param>
public sealed record TrendStudy(IReadOnlyList<TrendLine> Lines, FirstPassYield? Yield, IReadOnlyList<ReworkCount> Rework)
{
    /// <summary>Runs the study.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="measurements">Measurements at plan conditions of many builds.</param>
    /// <param name="door">Only this door; null for all.</param>
    /// <param name="characteristic">Only this one; null for all.</param>
    /// <param name="rules">Rules for the chart of individuals; null for the usual two.</param>
    /// <param name="baseCount">How many of the first builds the limits come from; null for all.</param>
    /// <param name="acrossRevisions">True to chart across mould revisions.</param>
    public static TrendStudy Run(FitPlan plan, IReadOnlyList<Measurement> measurements, string? door = null, Characteristic? characteristic = null, IReadOnlyList<RunRule>? rules = null, int? baseCount = null, bool acrossRevisions = false)
    {
        IReadOnlyList<MeasuredSeries> series = [.. MeasuredSeries.Sort(plan, measurements, acrossRevisions)
            .Where(s => (door is null || s.Key.Door == door) && (characteristic is null || s.Key.Characteristic == characteristic))];
        List<TrendLine> lines = [];
        List<(Measurement Measurement, bool Outside)> judged = [];
        foreach (MeasuredSeries s in series)
        {
            Limits? limits = plan.Limits.For(s.Key.Characteristic, s.Key.Door, s.Key.Zone, s.Key.Station, s.Key.Stage)?.Limits;
            lines.Add(new(s, ProcessTrend.Of(s.Values, rules, baseCount), limits));
            if (limits is not null) judged.AddRange(s.Measurements.Select(m => (m, limits.Excess(m.Value!.Value) > 0)));
        }
        FirstPassYield? yield = null;
        if (judged.Count > 0)
        {
            bool[] passed = [.. judged.GroupBy(j => j.Measurement.Build).Select(b => b.All(j => !j.Outside))];
            yield = new(passed.Count(p => p), passed.Length, Proportion.Wilson(passed.Count(p => p), passed.Length));
        }
        return new(lines, yield, [.. judged.Where(j => j.Outside).GroupBy(j => (j.Measurement.Door, j.Measurement.Zone, j.Measurement.Characteristic))
            .Select(g => new ReworkCount(g.Key.Door, g.Key.Zone, g.Key.Characteristic, g.Count(), g.Select(j => j.Measurement.Build).Distinct().Count())).OrderByDescending(r => r.Count)]);
    }

    /// <summary>Lines on which a chart signals.</summary>
    public IEnumerable<TrendLine> WithSignals => Lines.Where(l => l.Trend is { HasSignal: true });

    /// <summary>The answer in one sentence.</summary>
    public string Answer
    {
        get
        {
            int charted = Lines.Count(l => l.Trend is not null), signals = WithSignals.Count();
            if (charted == 0) return "There is nothing to chart: it takes four builds or more.";
            string stable = signals == 0 ? Invariant($"Stable: no chart of {charted} places signals") : Invariant($"Look into it: charts of {signals} of {charted} places signal");
            string yield = Yield is null ? "" : Invariant($"; {Yield.Passed} of {Yield.Builds} builds had nothing outside ({100 * Yield.Share:0} %, 95 % interval {100 * Yield.Interval.Low:0} to {100 * Yield.Interval.High:0} %)");
            string most = Rework.Count == 0 ? "" : Invariant($"; most rework: {Rework[0].Door} {Rework[0].Zone} {Rework[0].Characteristic.Words}, {Rework[0].Count} places on {Rework[0].Builds} builds");
            return $"{stable}{yield}{most}.";
        }
    }
}
