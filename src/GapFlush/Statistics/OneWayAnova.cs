using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>One-way analysis of variance: are the means of several groups alike?</summary>
/// <remarks>
/// <para>Method: sums of squares about the first value in double-double arithmetic.</para>
/// <para>Accuracy: NIST StRD analysis of variance, to the digits that the double input allows (StatisticsReferenceTests).</para>
/// </remarks>
/// <param name="BetweenSumOfSquares">Sum of squares of the group means about the overall mean, weighted by size.</param>
/// <param name="WithinSumOfSquares">Sum of squares about the group means.</param>
/// <param name="BetweenDegreesOfFreedom">Groups less one.</param>
/// <param name="WithinDegreesOfFreedom">Values less groups.</param>
public sealed record OneWayAnova(double BetweenSumOfSquares, double WithinSumOfSquares, int BetweenDegreesOfFreedom, int WithinDegreesOfFreedom)
{
    /// <summary>Mean square between groups.</summary>
    public double BetweenMeanSquare => BetweenSumOfSquares / BetweenDegreesOfFreedom;

    /// <summary>Mean square within groups.</summary>
    public double WithinMeanSquare => WithinSumOfSquares / WithinDegreesOfFreedom;

    /// <summary>Ratio of the mean squares.</summary>
    public double F => BetweenMeanSquare / WithinMeanSquare;

    /// <summary>p value of the ratio.</summary>
    public double Probability => FisherDistribution.UpperTail(F, BetweenDegreesOfFreedom, WithinDegreesOfFreedom);

    /// <summary>Share of the sum of squares that lies between the groups.</summary>
    public double RSquared => BetweenSumOfSquares / (BetweenSumOfSquares + WithinSumOfSquares);

    /// <summary>Standard deviation within the groups.</summary>
    public double ResidualSd => Math.Sqrt(WithinMeanSquare);

    /// <summary>Analyses groups.</summary>
    /// <exception cref="ArgumentException">Fewer than two groups, an empty group, or no group with two values.</exception>
    public static OneWayAnova Of(IReadOnlyList<IReadOnlyList<double>> groups)
    {
        if (groups.Count < 2 || groups.Any(g => g.Count == 0) || groups.All(g => g.Count == 1))
            throw new ArgumentException("Analysis of variance needs two groups or more, none empty, one of them with two values or more.", nameof(groups));
        double offset = groups[0][0];
        DoubleDouble all = 0, within = 0, between = 0;
        DoubleDouble[] means = new DoubleDouble[groups.Count];
        int count = 0;
        for (int g = 0; g < groups.Count; g++)
        {
            DoubleDouble sum = 0;
            foreach (double v in groups[g]) sum += (DoubleDouble)v - offset;
            all += sum;
            means[g] = sum / groups[g].Count;
            count += groups[g].Count;
            foreach (double v in groups[g])
            {
                DoubleDouble d = (DoubleDouble)v - offset - means[g];
                within += d * d;
            }
        }
        DoubleDouble grand = all / count;
        for (int g = 0; g < groups.Count; g++)
        {
            DoubleDouble d = means[g] - grand;
            between += d * d * groups[g].Count;
        }
        return new((double)between, (double)within, groups.Count - 1, count - groups.Count);
    }
}
