using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Charts of the means of repeats on each build, with their ranges or standard deviations: X-bar with R or S.</summary>
/// <remarks>
/// <para>Method: builds with as many repeats as most have; ranges up to <see cref="MostForRanges"/> repeats, standard deviations above. Limits come from the scatter of the
/// repeats alone, so where builds truly differ by more than reading again explains (analysis of variance, 1 %), means beyond them say just that, and stability is
/// for the chart of individual means to judge: <see cref="JudgesMeans"/> is then false.</para>
/// <para>No answer (null): fewer than four builds with the same number of repeats, two or more; or repeats that never differ.</para>
/// <para>Source: ISO 7870-2 [not opened]; the bound between ranges and standard deviations and the 1 % are our own choice: common practice, no source.</para>
/// </remarks>
public sealed class RepeatsChart
{
    /// <summary>Up to so many repeats ranges are charted.</summary>
    public const int MostForRanges = 8;

    private RepeatsChart(SubgroupChart chart, int size, IReadOnlyList<int> points, double probability) =>
        (Chart, Size, Points, BetweenProbability) = (chart, size, points, probability);

    /// <summary>The charts.</summary>
    public SubgroupChart Chart { get; }

    /// <summary>Repeats on each build.</summary>
    public int Size { get; }

    /// <summary>Which values of the series were charted, numbered from 1.</summary>
    public IReadOnlyList<int> Points { get; }

    /// <summary>p value of "builds differ by no more than repeats explain".</summary>
    public double BetweenProbability { get; }

    /// <summary>True where means beyond their limits count as signals.</summary>
    public bool JudgesMeans => !(BetweenProbability < 0.01);

    /// <summary>True for ranges, false for standard deviations.</summary>
    public bool UsesRanges => Size <= MostForRanges;

    /// <summary>Limits of the means.</summary>
    public (double Lower, double Upper) MeanLimits => UsesRanges ? Chart.MeanLimitsFromRange : Chart.MeanLimitsFromSd;

    /// <summary>Ranges or standard deviations.</summary>
    public IReadOnlyList<double> Spreads => UsesRanges ? Chart.Ranges : Chart.Sds;

    /// <summary>Mean of <see cref="Spreads"/>.</summary>
    public double MeanSpread => UsesRanges ? Chart.MeanRange : Chart.MeanSd;

    /// <summary>Limits of <see cref="Spreads"/>.</summary>
    public (double Lower, double Upper) SpreadLimits => UsesRanges ? Chart.RangeLimits : Chart.SdLimits;

    /// <summary>Signals, their points numbered as in the series.</summary>
    public IReadOnlyList<ChartSignal> Signals
    {
        get
        {
            List<ChartSignal> signals = [];
            IReadOnlyList<int> spreads = UsesRanges ? Chart.RangesOutside : Chart.SdsOutside;
            if (JudgesMeans) Add("X-bar", "mean of the repeats beyond its limits", Beyond());
            Add(UsesRanges ? "R" : "S", UsesRanges ? "range of the repeats beyond its limits" : "scatter of the repeats beyond its limits", spreads);
            return signals;

            void Add(string chart, string rule, IReadOnlyList<int> at)
            {
                if (at.Count > 0) signals.Add(new(chart, rule, [.. at.Select(i => Points[i - 1])]));
            }
        }
    }

    /// <summary>Charts the repeats of each build of a series.</summary>
    /// <param name="repeats">The repeats of each value, in order of making; one where it was read once.</param>
    public static RepeatsChart? Of(IReadOnlyList<IReadOnlyList<double>> repeats)
    {
        int size = repeats.Where(r => r.Count > 1).GroupBy(r => r.Count).OrderByDescending(g => g.Count()).ThenByDescending(g => g.Key).FirstOrDefault()?.Key ?? 0;
        int[] points = [.. Enumerable.Range(0, repeats.Count).Where(i => repeats[i].Count == size)];
        if (size < 2 || points.Length < ProcessTrend.LeastValues) return null;
        IReadOnlyList<double>[] groups = [.. points.Select(i => repeats[i])];
        SubgroupChart chart = new(groups);
        return chart.MeanRange > 0 ? new(chart, size, [.. points.Select(i => i + 1)], OneWayAnova.Of(groups).Probability) : null;
    }

    private IReadOnlyList<int> Beyond()
    {
        (double lower, double upper) = MeanLimits;
        return Capability.Signals.Where(Chart.Means, m => m > upper || m < lower);
    }
}
