using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>A signal of a chart.</summary>
/// <param name="Chart">Which chart: individuals, moving range, EWMA or CUSUM.</param>
/// <param name="Rule">The rule, in words.</param>
/// <param name="Points">Points that complete it, numbered from 1.</param>
public sealed record ChartSignal(string Chart, string Rule, IReadOnlyList<int> Points);

/// <summary>What the charts say of one series: is it stable, does it drift, did it jump?</summary>
/// <remarks>
/// <para>Method: individuals and moving range; EWMA (λ 0.2, 2.7 sigma) and CUSUM (k 0.5, h 5) about the centre and sigma of the named span; change point; Mann-Kendall
/// and Theil-Sen against the order of making. METHOD.md.</para>
/// <para>No answer (null): fewer than four values, or no spread from value to value.</para>
/// </remarks>
public sealed class ProcessTrend
{
    /// <summary>Fewer values than this are not charted, nor are limits taken from fewer.</summary>
    public const int LeastValues = 4;

    private ProcessTrend(IndividualsChart individuals, EwmaChart ewma, CusumChart cusum, ChangePoint? change, MonotoneTrend? trend, IReadOnlyList<ChartSignal> signals) =>
        (Individuals, Ewma, Cusum, Change, Trend, Signals) = (individuals, ewma, cusum, change, trend, signals);

    /// <summary>Individuals and moving range.</summary>
    public IndividualsChart Individuals { get; }

    /// <summary>EWMA.</summary>
    public EwmaChart Ewma { get; }

    /// <summary>CUSUM.</summary>
    public CusumChart Cusum { get; }

    /// <summary>Most likely change of mean, or null.</summary>
    public ChangePoint? Change { get; }

    /// <summary>Drift over the order of making, or null.</summary>
    public MonotoneTrend? Trend { get; }

    /// <summary>All signals; empty where there is none.</summary>
    public IReadOnlyList<ChartSignal> Signals { get; }

    /// <summary>True where a chart signals.</summary>
    public bool HasSignal => Signals.Count > 0;

    /// <summary>True where a change of mean is proven at 5 %.</summary>
    public bool HasChanged => Change?.Probability < 0.05;

    /// <summary>True where a drift is proven at 5 %.</summary>
    public bool Drifts => Trend?.Probability < 0.05;

    /// <summary>Charts values in order of making.</summary>
    /// <param name="values">The values.</param>
    /// <param name="rules">Rules for the chart of individuals; null for one point beyond three sigma and nine on one side.</param>
    /// <param name="span">Which values the limits come from: how many stand before them, and how many they are; null for all.</param>
    public static ProcessTrend? Of(IReadOnlyList<double> values, IReadOnlyList<RunRule>? rules = null, (int Start, int Count)? span = null)
    {
        if (values.Count < LeastValues || span?.Count < LeastValues) return null;
        IndividualsChart chart = new(values, span?.Count, baseStart: span?.Start ?? 0);
        if (!(chart.Sigma > 0)) return null;
        EwmaChart ewma = new(values, chart.Centre, chart.Sigma);
        CusumChart cusum = new(values, chart.Centre, chart.Sigma);
        List<ChartSignal> signals = [];
        foreach (RunRule rule in rules ?? ProcessCapability.ControlRules) Add("individuals", rule.Words, rule.Find(values, chart.Centre, chart.Sigma));
        Add("moving range", "a jump from one to the next beyond its limit", chart.RangesOutside);
        Add("EWMA", "moving average beyond its limits", ewma.SignalsTimeVarying);
        Add("CUSUM", "sum upwards above its limit", cusum.SignalsUpper);
        Add("CUSUM", "sum downwards above its limit", cusum.SignalsLower);
        return new(chart, ewma, cusum, ChangePoint.Find(values), MonotoneTrend.Of([.. Enumerable.Range(1, values.Count).Select(i => (double)i)], values), signals);

        void Add(string name, string rule, IReadOnlyList<int> points)
        {
            if (points.Count > 0) signals.Add(new(name, rule, points));
        }
    }
}
