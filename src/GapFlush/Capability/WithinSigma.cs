using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Estimates of short-term standard deviation: within subgroups, or from value to next value.</summary>
/// <remarks>
/// <para>No answer (NaN): no subgroup with two values, or fewer than two individuals. Subgroups of one value are left out.</para>
/// <para>Source: ISO 7870-2 [not opened]; I. W. Burr, Statistical Quality Control Methods (1976) for unequal subgroups [from memory].</para>
/// </remarks>
public static class WithinSigma
{
    /// <summary>Mean over subgroups of range over d2.</summary>
    public static double FromRanges(IReadOnlyList<IReadOnlyList<double>> subgroups) => Mean(subgroups, g => Range(g) / RangeDistribution.Mean(g.Count));

    /// <summary>Mean over subgroups of standard deviation over c4.</summary>
    public static double FromSds(IReadOnlyList<IReadOnlyList<double>> subgroups) => Mean(subgroups, g => Sd(g) / ChartConstants.UnbiasingFactor(g.Count));

    /// <summary>Ranges over d2, weighted by their precision.</summary>
    public static double FromRangesWeighted(IReadOnlyList<IReadOnlyList<double>> subgroups) => Weighted(subgroups, g =>
    {
        double d2 = RangeDistribution.Mean(g.Count), d3 = RangeDistribution.Sd(g.Count);
        return (Range(g) / d2, d2 * d2 / (d3 * d3));
    });

    /// <summary>Standard deviations over c4, weighted by their precision.</summary>
    public static double FromSdsWeighted(IReadOnlyList<IReadOnlyList<double>> subgroups) => Weighted(subgroups, g =>
    {
        double c4 = ChartConstants.UnbiasingFactor(g.Count);
        return (Sd(g) / c4, c4 * c4 / (1 - c4 * c4));
    });

    /// <summary>Root of the pooled variance, and its degrees of freedom.</summary>
    public static (double Sigma, int DegreesOfFreedom) Pooled(IReadOnlyList<IReadOnlyList<double>> subgroups)
    {
        double squares = 0;
        int df = 0;
        foreach (IReadOnlyList<double> g in Usable(subgroups))
        {
            squares += new SampleSummary([.. g]).SumOfSquares;
            df += g.Count - 1;
        }
        return (Math.Sqrt(squares / df), df);
    }

    /// <summary>Mean moving range of two over d2.</summary>
    public static double FromMovingRanges(IReadOnlyList<double> values) => values.Count < 2 ? double.NaN : MovingRanges(values).Average() / RangeDistribution.Mean(2);

    /// <summary>Median moving range of two over d4: less moved by a few jumps.</summary>
    public static double FromMedianMovingRange(IReadOnlyList<double> values) => values.Count < 2 ? double.NaN : Quantiles.Of(MovingRanges(values), 0.5) / RangeDistribution.Median(2);

    /// <summary>Root of half the mean squared successive difference.</summary>
    public static double FromSuccessiveDifferences(IReadOnlyList<double> values) => values.Count < 2 ? double.NaN : Math.Sqrt(MovingRanges(values).Average(r => r * r) / 2);

    /// <summary>Absolute differences between neighbours.</summary>
    public static double[] MovingRanges(IReadOnlyList<double> values)
    {
        double[] ranges = new double[Math.Max(0, values.Count - 1)];
        for (int i = 0; i < ranges.Length; i++) ranges[i] = Math.Abs(values[i + 1] - values[i]);
        return ranges;
    }

    private static double Range(IReadOnlyList<double> g) => g.Max() - g.Min();

    private static double Sd(IReadOnlyList<double> g) => new SampleSummary([.. g]).Sd;

    private static IEnumerable<IReadOnlyList<double>> Usable(IReadOnlyList<IReadOnlyList<double>> subgroups) => subgroups.Where(g => g.Count > 1);

    private static double Mean(IReadOnlyList<IReadOnlyList<double>> subgroups, Func<IReadOnlyList<double>, double> of) =>
        Usable(subgroups).Any() ? Usable(subgroups).Average(of) : double.NaN;

    private static double Weighted(IReadOnlyList<IReadOnlyList<double>> subgroups, Func<IReadOnlyList<double>, (double Value, double Weight)> of)
    {
        double sum = 0, weights = 0;
        foreach ((double value, double weight) in Usable(subgroups).Select(of))
        {
            sum += value * weight;
            weights += weight;
        }
        return sum / weights;
    }
}
