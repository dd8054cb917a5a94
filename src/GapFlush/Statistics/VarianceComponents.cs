using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>One-way random model fitted by likelihood: variance between groups and within them.</summary>
/// <param name="Within">Variance within groups.</param>
/// <param name="Between">Variance between groups, never negative.</param>
/// <param name="Mean">Generalised mean.</param>
/// <param name="MeanStandardError">Standard error of the mean.</param>
/// <param name="Deviance">Minus twice the log likelihood (the restricted one for REML).</param>
public sealed record LikelihoodComponents(double Within, double Between, double Mean, double MeanStandardError, double Deviance)
{
    /// <summary>Share of the variance that lies between groups.</summary>
    public double IntraclassCorrelation => Between / (Between + Within);
}

/// <summary>Variance taken apart into between and within groups (builds, say), sizes equal or not.</summary>
/// <remarks>
/// <para>Method: REML and ML by the likelihood profiled over the ratio of the variances, its score brought to zero; and the moment estimate from the
/// analysis of variance, which may be negative.</para>
/// <para>Source: S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992), chapters 3 and 6 [from memory].</para>
/// <para>Accuracy: the `variance_components` reference group (StatisticsReferenceTests).</para>
/// </remarks>
public sealed class VarianceComponents
{
    private readonly double[] _sizes, _means;
    private readonly double _offset;

    /// <summary>Takes the groups apart; at least two, one of them with two values or more.</summary>
    public VarianceComponents(IReadOnlyList<IReadOnlyList<double>> groups)
    {
        Anova = OneWayAnova.Of(groups);
        _offset = groups[0][0];
        _sizes = [.. groups.Select(g => (double)g.Count)];
        _means = [.. groups.Select(g => g.Average(v => v - _offset))];
    }

    /// <summary>The analysis of variance.</summary>
    public OneWayAnova Anova { get; }

    /// <summary>The size of group that the expected mean square between groups goes by.</summary>
    public double EffectiveSize
    {
        get
        {
            double n = _sizes.Sum();
            return (n - _sizes.Sum(s => s * s) / n) / (_sizes.Length - 1);
        }
    }

    /// <summary>Moment estimate of the variance between groups; may be negative.</summary>
    public double BetweenFromMeanSquares => (Anova.BetweenMeanSquare - Anova.WithinMeanSquare) / EffectiveSize;

    /// <summary>Restricted maximum likelihood.</summary>
    public LikelihoodComponents Restricted() => Fit(restricted: true);

    /// <summary>Maximum likelihood.</summary>
    public LikelihoodComponents MaximumLikelihood() => Fit(restricted: false);

    private LikelihoodComponents Fit(bool restricted)
    {
        double df = _sizes.Sum() - (restricted ? 1 : 0);
        double Score(double logRatio) => At(Math.Exp(logRatio), restricted, df).Slope;
        // Slope of the deviance by the ratio; the best ratio is where it turns from falling to rising.
        double best = 0, least = At(0, restricted, df).Deviance, before = -14;
        for (double log = -13.5; log <= 14; log += 0.25)
        {
            if (Score(before) < 0 && Score(log) >= 0)
            {
                double ratio = Math.Exp(Roots.Between(Score, before, log));
                double deviance = At(ratio, restricted, df).Deviance;
                if (deviance < least) (best, least) = (ratio, deviance);
            }
            before = log;
        }
        (double d, _, double mean, double weight, double q) = At(best, restricted, df);
        double within = q / df;
        return new(within, best * within, mean + _offset, Math.Sqrt(within / weight), d);
    }

    private (double Deviance, double Slope, double Mean, double Weight, double Q) At(double ratio, bool restricted, double df)
    {
        double weight = 0, mean = 0, log = 0, logSlope = 0, weightSlope = 0;
        for (int i = 0; i < _sizes.Length; i++)
        {
            double w = _sizes[i] / (1 + _sizes[i] * ratio);
            weight += w;
            mean += w * _means[i];
            log += Math.Log(1 + _sizes[i] * ratio);
            logSlope += w;
            weightSlope -= w * w;
        }
        mean /= weight;
        double q = Anova.WithinSumOfSquares, qSlope = 0;
        for (int i = 0; i < _sizes.Length; i++)
        {
            double w = _sizes[i] / (1 + _sizes[i] * ratio), d = _means[i] - mean;
            q += w * d * d;
            qSlope -= w * w * d * d;
        }
        double deviance = log + df * Math.Log(q / df) + df * (1 + 2 * GammaFunctions.HalfLogTwoPi), slope = logSlope + df * qSlope / q;
        if (restricted)
        {
            deviance += Math.Log(weight);
            slope += weightSlope / weight;
        }
        return (deviance, slope, mean, weight, q);
    }
}
