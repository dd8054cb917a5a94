using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>A test statistic with its p value.</summary>
/// <param name="Statistic">The statistic.</param>
/// <param name="Probability">Its p value.</param>
public readonly record struct TestResult(double Statistic, double Probability);

/// <summary>Two of several means compared, all pairs together held to one error rate.</summary>
/// <param name="First">Index of the mean subtracted.</param>
/// <param name="Second">Index of the mean it is subtracted from.</param>
/// <param name="Difference">Second minus first.</param>
/// <param name="StudentizedRange">Absolute difference over its standard error.</param>
/// <param name="Probability">p value for all pairs together.</param>
/// <param name="Interval">Interval for the difference, for all pairs together.</param>
public sealed record PairOfMeans(int First, int Second, double Difference, double StudentizedRange, double Probability, Interval Interval);

/// <summary>Several samples at once, such as more than two mould revisions: do their means, spreads or ranks differ?</summary>
/// <remarks>
/// <para>Source: H. Levene (1960); M. B. Brown and A. B. Forsythe, JASA 69 (1974) 364; M. S. Bartlett, Proc. R. Soc. A 160 (1937) 268; W. H. Kruskal and
/// W. A. Wallis, JASA 47 (1952) 583; B. L. Welch, Biometrika 38 (1951) 330; C. Y. Kramer, Biometrics 12 (1956) 307 [all from memory].</para>
/// <para>Accuracy: the `k_sample` reference group (StatisticsReferenceTests).</para>
/// </remarks>
public sealed class SeveralSamples
{
    private readonly IReadOnlyList<IReadOnlyList<double>> _groups;
    private readonly SampleSummary[] _summaries;

    /// <summary>Takes the groups; at least two, each with two values or more.</summary>
    /// <exception cref="ArgumentException">There are fewer.</exception>
    public SeveralSamples(IReadOnlyList<IReadOnlyList<double>> groups)
    {
        if (groups.Count < 2 || groups.Any(g => g.Count < 2)) throw new ArgumentException("Several samples need two groups or more, each with two values or more.", nameof(groups));
        _groups = groups;
        _summaries = [.. groups.Select(g => new SampleSummary([.. g]))];
        Anova = OneWayAnova.Of(groups);
    }

    /// <summary>Analysis of variance, variances taken as equal.</summary>
    public OneWayAnova Anova { get; }

    /// <summary>Levene's test of equal spread: analysis of variance of distances from the group means.</summary>
    public TestResult Levene() => Spread(s => s.Mean);

    /// <summary>Brown and Forsythe's test of equal spread: the same from the group medians.</summary>
    public TestResult BrownForsythe() => Spread(s => s.Median);

    /// <summary>Kruskal-Wallis test on ranks, without and with the correction for ties.</summary>
    public (double Uncorrected, TestResult Corrected) KruskalWallis()
    {
        (double[] ranks, IReadOnlyList<int> ties) = Ranks.Of([.. _groups.SelectMany(g => g)]);
        double n = ranks.Length, sum = 0;
        int at = 0;
        foreach (IReadOnlyList<double> group in _groups)
        {
            // About the mean rank: the squares themselves would cancel.
            double away = ranks.AsSpan(at, group.Count).ToArray().Sum() - group.Count * (n + 1) / 2;
            sum += away * away / group.Count;
            at += group.Count;
        }
        double h = 12 / (n * (n + 1)) * sum, corrected = h / (1 - ties.Sum(t => (double)t * t * t - t) / (n * n * n - n));
        return (h, new(corrected, ChiSquareDistribution.UpperTail(corrected, _groups.Count - 1)));
    }

    /// <summary>Bartlett's test of equal variances of normal data.</summary>
    public TestResult Bartlett()
    {
        double k = _groups.Count, total = 0, pooled = 0, logs = 0, inverses = 0;
        foreach (SampleSummary s in _summaries)
        {
            double nu = s.Count - 1;
            total += nu;
            pooled += s.SumOfSquares;
            logs += nu * Math.Log(s.Variance);
            inverses += 1 / nu;
        }
        double t = (total * Math.Log(pooled / total) - logs) / (1 + (inverses - 1 / total) / (3 * (k - 1)));
        return new(t, ChiSquareDistribution.UpperTail(t, k - 1));
    }

    /// <summary>Welch's analysis of variance, variances not taken as equal, with its denominator degrees of freedom.</summary>
    public (double F, double DegreesOfFreedom, double Probability) Welch()
    {
        double k = _groups.Count;
        double[] weights = [.. _summaries.Select(s => s.Count / s.Variance)];
        double all = weights.Sum(), mean = 0, between = 0, lambda = 0;
        for (int i = 0; i < weights.Length; i++) mean += weights[i] / all * (_summaries[i].Mean - _summaries[0].Mean);
        for (int i = 0; i < weights.Length; i++)
        {
            double d = _summaries[i].Mean - _summaries[0].Mean - mean, rest = 1 - weights[i] / all;
            between += weights[i] * d * d / (k - 1);
            lambda += rest * rest / (_summaries[i].Count - 1);
        }
        double f = between / (1 + 2 * (k - 2) / (k * k - 1) * lambda), df = (k * k - 1) / (3 * lambda);
        return (f, df, FisherDistribution.UpperTail(f, k - 1, df));
    }

    /// <summary>Every pair of means (Tukey and Kramer), error held over all pairs together.</summary>
    public IReadOnlyList<PairOfMeans> AllPairs(double confidence = 0.95)
    {
        int k = _groups.Count;
        double df = Anova.WithinDegreesOfFreedom, factor = StudentizedRangeDistribution.Quantile(confidence, k, df);
        List<PairOfMeans> pairs = [];
        for (int i = 0; i < k; i++)
        {
            for (int j = i + 1; j < k; j++)
            {
                double difference = _summaries[j].Mean - _summaries[i].Mean;
                double error = Math.Sqrt(Anova.WithinMeanSquare / 2 * (1.0 / _summaries[i].Count + 1.0 / _summaries[j].Count)), q = Math.Abs(difference) / error;
                pairs.Add(new(i, j, difference, q, StudentizedRangeDistribution.UpperTail(q, k, df), new(difference - factor * error, difference + factor * error)));
            }
        }
        return pairs;
    }

    private TestResult Spread(Func<SampleSummary, double> centre)
    {
        OneWayAnova anova = OneWayAnova.Of([.. _summaries.Select(s =>
        {
            double c = centre(s);
            return (IReadOnlyList<double>)[.. s.Values.Select(v => Math.Abs(v - c))];
        })]);
        return new(anova.F, anova.Probability);
    }
}
