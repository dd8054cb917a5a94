using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>First sample against second: difference of means, with and without equal variances, equivalence, and ranks.</summary>
/// <remarks>
/// <para>Sign: first minus second.</para>
/// <para>Method: Welch's t with Satterthwaite's unrounded degrees of freedom; pooled t; F test of variances (twice the smaller tail);
/// Mann-Whitney by the normal approximation with ties and continuity corrected.</para>
/// <para>No answer: NaN where both samples have no spread at all.</para>
/// <para>Source: B. L. Welch, Biometrika 34 (1947) 28 [from memory]; H. B. Mann and D. R. Whitney, Ann. Math. Statist. 18 (1947) 50 [from memory].</para>
/// </remarks>
public sealed class TwoSampleComparison
{
    private readonly double _welchError, _pooledError;

    /// <summary>Compares two samples of two values or more each.</summary>
    /// <exception cref="ArgumentException">A sample has fewer than two values.</exception>
    public TwoSampleComparison(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        if (first.Count < 2 || second.Count < 2) throw new ArgumentException("A comparison of means needs two values or more on each side.");
        (First, Second) = (new([.. first]), new([.. second]));
        double a = First.Variance / First.Count, b = Second.Variance / Second.Count;
        Difference = First.Mean - Second.Mean;
        _welchError = Math.Sqrt(a + b);
        WelchDegreesOfFreedom = (a + b) * (a + b) / (a * a / (First.Count - 1) + b * b / (Second.Count - 1));
        PooledDegreesOfFreedom = First.Count + Second.Count - 2;
        PooledSd = Math.Sqrt((First.SumOfSquares + Second.SumOfSquares) / PooledDegreesOfFreedom);
        _pooledError = PooledSd * Math.Sqrt(1.0 / First.Count + 1.0 / Second.Count);
    }

    /// <summary>The first sample.</summary>
    public SampleSummary First { get; }

    /// <summary>The second sample.</summary>
    public SampleSummary Second { get; }

    /// <summary>Mean of the first minus mean of the second.</summary>
    public double Difference { get; }

    /// <summary>Standard error of the difference, variances not taken as equal.</summary>
    public double WelchStandardError => _welchError;

    /// <summary>Difference over its standard error, variances not taken as equal.</summary>
    public double WelchT => Difference / _welchError;

    /// <summary>Satterthwaite's degrees of freedom.</summary>
    public double WelchDegreesOfFreedom { get; }

    /// <summary>Two-sided p value of <see cref="WelchT"/>.</summary>
    public double WelchProbability => StudentDistribution.TwoSided(WelchT, WelchDegreesOfFreedom);

    /// <summary>Pooled standard deviation.</summary>
    public double PooledSd { get; }

    /// <summary>Difference over its standard error with pooled variance.</summary>
    public double PooledT => Difference / _pooledError;

    /// <summary>Degrees of freedom of the pooled variance.</summary>
    public int PooledDegreesOfFreedom { get; }

    /// <summary>Two-sided p value of <see cref="PooledT"/>.</summary>
    public double PooledProbability => StudentDistribution.TwoSided(PooledT, PooledDegreesOfFreedom);

    /// <summary>Difference in pooled standard deviations (Cohen's d).</summary>
    public double StandardisedDifference => Difference / PooledSd;

    /// <summary>Variance of the first over variance of the second.</summary>
    public double VarianceRatio => First.Variance / Second.Variance;

    /// <summary>Two-sided p value of the variance ratio: twice the smaller tail.</summary>
    public double VarianceRatioProbability
    {
        get
        {
            double above = FisherDistribution.UpperTail(VarianceRatio, First.Count - 1, Second.Count - 1), below = FisherDistribution.Cdf(VarianceRatio, First.Count - 1, Second.Count - 1);
            return Math.Min(1, 2 * Math.Min(above, below));
        }
    }

    /// <summary>Interval for the difference, variances not taken as equal.</summary>
    public Interval WelchInterval(double confidence = 0.95) => About(_welchError, WelchDegreesOfFreedom, confidence);

    /// <summary>Interval for the difference with pooled variance.</summary>
    public Interval PooledInterval(double confidence = 0.95) => About(_pooledError, PooledDegreesOfFreedom, confidence);

    /// <summary>Are the means proven to differ by less than a margin? Variances not taken as equal.</summary>
    /// <param name="margin">The smallest difference that matters, positive.</param>
    public Equivalence WelchEquivalence(double margin) => Equivalence.Of(Difference, _welchError, WelchDegreesOfFreedom, margin);

    /// <summary>Are the means proven to differ by less than a margin? Pooled variance.</summary>
    public Equivalence PooledEquivalence(double margin) => Equivalence.Of(Difference, _pooledError, PooledDegreesOfFreedom, margin);

    /// <summary>Mann-Whitney U of the first sample, and its two-sided p value.</summary>
    public (double U, double Probability) MannWhitney()
    {
        int n1 = First.Count, n2 = Second.Count, n = n1 + n2;
        (double[] ranks, IReadOnlyList<int> ties) = Ranks.Of([.. First.Values, .. Second.Values]);
        double u = ranks.Take(n1).Sum() - n1 * (n1 + 1) / 2.0;
        double variance = n1 * (double)n2 / 12 * (n + 1 - ties.Sum(t => (double)t * t * t - t) / (n * (n - 1.0)));
        double z = Math.Max(0, Math.Abs(u - n1 * (double)n2 / 2) - 0.5) / Math.Sqrt(variance);
        return (u, Math.Min(1, 2 * NormalDistribution.UpperTail(z)));
    }

    private Interval About(double error, double degreesOfFreedom, double confidence)
    {
        double half = StudentDistribution.UpperQuantile((1 - confidence) / 2, degreesOfFreedom) * error;
        return new(Difference - half, Difference + half);
    }
}
