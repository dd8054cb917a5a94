using GapFlush.Capability;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>The charts of one series.</summary>
/// <param name="Series">The series.</param>
/// <param name="Trend">What the charts say; null where there is none.</param>
/// <param name="Repeats">Charts of repeats; null where readings were not repeated.</param>
/// <param name="Limits">The plan's limits, or null.</param>
/// <param name="Span">Which values the chart limits come from: how many stand before them, and how many they are; null for all.</param>
/// <param name="Reason">Why there is no chart, or null.</param>
public sealed record TrendLine(MeasuredSeries Series, ProcessTrend? Trend, RepeatsChart? Repeats, Limits? Limits, (int Start, int Count)? Span, string? Reason)
{
    /// <summary>All signals of all charts.</summary>
    public IReadOnlyList<ChartSignal> Signals { get; } = [.. Trend?.Signals ?? [], .. Trend is null ? [] : Repeats?.Signals ?? []];

    /// <summary>True where a chart signals.</summary>
    public bool HasSignal => Signals.Count > 0;

    /// <summary>Numbers, from 1, of the values outside the plan's limits.</summary>
    public IReadOnlyList<int> Outside { get; } = Limits is null ? [] : [.. Enumerable.Range(1, Series.Values.Count).Where(i => Limits.Excess(Series.Values[i - 1]) > 0)];

    /// <summary>True where there is something to look into: a signal, a proven change or drift, or a value outside.</summary>
    public bool WantsLook => HasSignal || Trend is { HasChanged: true } or { Drifts: true } || Outside.Count > 0;

    /// <summary>What the charts say, in one sentence.</summary>
    public string Words
    {
        get
        {
            if (Trend is null) return $"Not charted: {Reason}.";
            List<string> said = [.. Signals.Select(s => $"{s.Chart}: {s.Rule} at {Named(s.Points)}")];
            if (Trend.HasChanged && Trend.Change is ChangePoint c) said.Add(ChangeWords(c));
            if (Trend.Drifts) said.Add(DriftWords!);
            return said.Count == 0 ? Invariant($"Stable: no chart signals over {Series.Values.Count} builds.") : $"Look into it: {string.Join("; ", said)}.";
        }
    }

    /// <summary>The drift in words with its interval; null where there is none to state.</summary>
    public string? DriftWords => Trend?.Trend is not { } d ? null
        : Invariant($"drift of {d.Slope:+0.0000;-0.0000;0} {Series.Key.Characteristic.Unit} a build (95 % interval {d.SlopeInterval.Low:+0.0000;-0.0000;0} to {d.SlopeInterval.High:+0.0000;-0.0000;0}, p = {d.Probability:0.000})");

    /// <summary>A change of mean in words, with the builds between which it lies.</summary>
    public string ChangeWords(ChangePoint c) =>
        Invariant($"change of mean after {Series.Builds[c.LastBefore - 1]} (between {Series.Builds[c.LastBeforeInterval.First - 1]} and {Series.Builds[Math.Min(c.LastBeforeInterval.Last, Series.Builds.Count - 1)]}, about 95 %), {c.MeanBefore:0.000} before, {c.MeanAfter:0.000} after");

    /// <summary>The builds of points numbered from 1, a few of many.</summary>
    public string Named(IReadOnlyList<int> points) => string.Join(", ", points.Take(4).Select(p => Series.Builds[p - 1])) + (points.Count > 4 ? Invariant($" and {points.Count - 4} more") : "");

    /// <summary>The repeats behind a measurement at plan conditions; the value itself where it was read once, or where not every reading was used.</summary>
    internal static IReadOnlyList<double> RepeatsOf(Measurement m)
    {
        if (m.Readings.Count < 2 || m.RawValue is not double raw || Math.Abs(m.Readings.Average(r => r.Value) - raw) > 1e-9 * Math.Max(1, Math.Abs(raw))) return [m.Value!.Value];
        return [.. m.Readings.Select(r => m.Value!.Value + r.Value - raw)];
    }
}
