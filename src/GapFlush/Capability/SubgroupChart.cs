using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Charts of subgroup means with their ranges or standard deviations, subgroups of one size, three-sigma limits.</summary>
/// <remarks>Source: ISO 7870-2 [not opened].</remarks>
public sealed class SubgroupChart
{
    /// <summary>Sets up the charts.</summary>
    /// <exception cref="ArgumentException">No subgroup, subgroups of different size, or of fewer than two values.</exception>
    public SubgroupChart(IReadOnlyList<IReadOnlyList<double>> subgroups)
    {
        if (subgroups.Count == 0 || subgroups[0].Count < 2 || subgroups.Any(g => g.Count != subgroups[0].Count))
            throw new ArgumentException("Charts of means need subgroups of one size, two values or more.", nameof(subgroups));
        Constants = new(subgroups[0].Count);
        SampleSummary[] all = [.. subgroups.Select(g => new SampleSummary([.. g]))];
        Means = [.. all.Select(s => s.Mean)];
        Ranges = [.. all.Select(s => s.Range)];
        Sds = [.. all.Select(s => s.Sd)];
        (GrandMean, MeanRange, MeanSd) = (new SampleSummary([.. Means]).Mean, Ranges.Average(), Sds.Average());
    }

    /// <summary>The constants for this size.</summary>
    public ChartConstants Constants { get; }

    /// <summary>Subgroup means.</summary>
    public IReadOnlyList<double> Means { get; }

    /// <summary>Subgroup ranges.</summary>
    public IReadOnlyList<double> Ranges { get; }

    /// <summary>Subgroup standard deviations.</summary>
    public IReadOnlyList<double> Sds { get; }

    /// <summary>Mean of the means.</summary>
    public double GrandMean { get; }

    /// <summary>Mean range.</summary>
    public double MeanRange { get; }

    /// <summary>Mean standard deviation.</summary>
    public double MeanSd { get; }

    /// <summary>Limits of means from the mean range.</summary>
    public (double Lower, double Upper) MeanLimitsFromRange => (GrandMean - Constants.A2 * MeanRange, GrandMean + Constants.A2 * MeanRange);

    /// <summary>Limits of ranges.</summary>
    public (double Lower, double Upper) RangeLimits => (Constants.LowerRangeFromMean * MeanRange, Constants.UpperRangeFromMean * MeanRange);

    /// <summary>Limits of means from the mean standard deviation.</summary>
    public (double Lower, double Upper) MeanLimitsFromSd => (GrandMean - Constants.A3 * MeanSd, GrandMean + Constants.A3 * MeanSd);

    /// <summary>Limits of standard deviations.</summary>
    public (double Lower, double Upper) SdLimits => (Constants.B3 * MeanSd, Constants.B4 * MeanSd);

    /// <summary>Subgroups whose mean is strictly outside the limits from ranges, numbered from 1.</summary>
    public IReadOnlyList<int> MeansOutside => Beyond(Means, MeanLimitsFromRange);

    /// <summary>Subgroups whose range is strictly outside its limits, numbered from 1.</summary>
    public IReadOnlyList<int> RangesOutside => Beyond(Ranges, RangeLimits);

    /// <summary>Subgroups whose standard deviation is strictly outside its limits, numbered from 1.</summary>
    public IReadOnlyList<int> SdsOutside => Beyond(Sds, SdLimits);

    private static IReadOnlyList<int> Beyond(IReadOnlyList<double> values, (double Lower, double Upper) limits) =>
        Signals.Where(values, v => v > limits.Upper || v < limits.Lower);
}
