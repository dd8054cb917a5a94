using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Chart of individual values and of the moving range of two, three-sigma limits.</summary>
/// <remarks>
/// <para>Method: sigma = mean moving range / d2(2), exact d2. Limits come from the values given (phase 1) or from a run of them.</para>
/// <para>Source: ISO 7870-2 [not opened]; NIST/SEMATECH e-Handbook 6.3.2.2.</para>
/// </remarks>
public sealed class IndividualsChart
{
    /// <summary>Sets up the chart.</summary>
    /// <param name="values">Values in order of making.</param>
    /// <param name="baseCount">How many values the limits come from; null for all.</param>
    /// <param name="printedD2">A rounded d2(2), such as the 1.128 of printed forms, to agree with a chart kept by hand; null for the exact one.</param>
    /// <param name="printedRangeFactor">A rounded D4(2), such as 3.267; null for the exact one.</param>
    /// <param name="baseStart">How many values stand before those that the limits come from.</param>
    /// <exception cref="ArgumentException">Fewer than two values to set limits from.</exception>
    public IndividualsChart(IReadOnlyList<double> values, int? baseCount = null, double? printedD2 = null, double? printedRangeFactor = null, int baseStart = 0)
    {
        double[] basis = [.. values.Skip(baseStart).Take(baseCount ?? values.Count)];
        if (basis.Length < 2) throw new ArgumentException("Limits of individual values need two values or more.", nameof(values));
        Values = values;
        Centre = new SampleSummary(basis).Mean;
        MeanMovingRange = WithinSigma.MovingRanges(basis).Average();
        MovingRanges = WithinSigma.MovingRanges(values);
        Sigma = MeanMovingRange / (printedD2 ?? RangeDistribution.Mean(2));
        RangeUpper = (printedRangeFactor ?? 1 + 3 * RangeDistribution.Sd(2) / RangeDistribution.Mean(2)) * MeanMovingRange;
    }

    /// <summary>The values.</summary>
    public IReadOnlyList<double> Values { get; }

    /// <summary>Absolute differences between neighbours; the first belongs to the second value.</summary>
    public IReadOnlyList<double> MovingRanges { get; }

    /// <summary>Mean of the values the limits come from.</summary>
    public double Centre { get; }

    /// <summary>Mean moving range.</summary>
    public double MeanMovingRange { get; }

    /// <summary>Standard deviation by the moving range.</summary>
    public double Sigma { get; }

    /// <summary>Upper limit of values.</summary>
    public double Upper => Centre + 3 * Sigma;

    /// <summary>Lower limit of values.</summary>
    public double Lower => Centre - 3 * Sigma;

    /// <summary>Upper limit of moving ranges; the lower one is 0.</summary>
    public double RangeUpper { get; }

    /// <summary>Values strictly outside their limits, numbered from 1.</summary>
    public IReadOnlyList<int> Outside => Signals.Where(Values, v => v > Upper || v < Lower);

    /// <summary>Values whose moving range is strictly above its limit, numbered from 1.</summary>
    public IReadOnlyList<int> RangesOutside => [.. Signals.Where(MovingRanges, r => r > RangeUpper).Select(i => i + 1)];
}
