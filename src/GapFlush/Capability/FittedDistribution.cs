using GapFlush.Numerics;
using GapFlush.Statistics;
using MathNet.Numerics;

namespace GapFlush.Capability;

/// <summary>Families of distribution that a characteristic may follow.</summary>
public enum DistributionFamily
{
    /// <summary>Normal, with mu and sigma.</summary>
    Normal,

    /// <summary>ln(x - shift) is normal with mu and sigma.</summary>
    Lognormal,

    /// <summary>Weibull with shape, scale and shift.</summary>
    Weibull,

    /// <summary>|N(0, sigma)|.</summary>
    HalfNormal,

    /// <summary>|N(mu, sigma)|.</summary>
    FoldedNormal,

    /// <summary>Length of a plane vector with two independent N(0, sigma) parts.</summary>
    Rayleigh,

    /// <summary>Gamma with shape and scale.</summary>
    Gamma,
}

/// <summary>A distribution with its parameters: tails, quantiles, likelihood; given, or fitted by maximum likelihood.</summary>
/// <remarks>
/// <para>Method: closed forms where there are any; else the score brought to zero inside a bracket. Shifts are taken as 0 in fits. A folded normal whose
/// likelihood peaks at mu = 0 comes back as just that.</para>
/// <para>Accuracy: the `percentile_given` and `percentile_fitted` reference groups (StatisticsReferenceTests).</para>
/// </remarks>
public sealed class FittedDistribution
{
    private readonly double _a, _b, _shift;

    private FittedDistribution(DistributionFamily family, double a, double b, double shift)
    {
        (Family, _a, _b, _shift) = (family, a, b, shift);
    }

    /// <summary>The family.</summary>
    public DistributionFamily Family { get; }

    /// <summary>The parameters by name, in the order of the family; a shift is listed last and is never fitted.</summary>
    public IReadOnlyList<(string Name, double Value)> Parameters => Family switch
    {
        DistributionFamily.Normal or DistributionFamily.FoldedNormal => [("mu", _a), ("sigma", _b)],
        DistributionFamily.Lognormal => [("mu", _a), ("sigma", _b), ("shift", _shift)],
        DistributionFamily.Weibull => [("shape", _a), ("scale", _b), ("shift", _shift)],
        DistributionFamily.Gamma => [("shape", _a), ("scale", _b)],
        _ => [("sigma", _b)],
    };

    /// <summary>Parameters that a fit estimates.</summary>
    public int FreeParameters => Family is DistributionFamily.HalfNormal or DistributionFamily.Rayleigh ? 1 : 2;

    /// <summary>The fitted parameters.</summary>
    internal double[] FreeValues => FreeParameters == 1 ? [_b] : [_a, _b];

    /// <summary>The same family with other parameters; scales and shapes are kept above 0.</summary>
    internal FittedDistribution WithFreeValues(double[] p) => FreeParameters == 1 ? new(Family, _a, p[0], _shift) : new(Family, p[0], p[1], _shift);

    /// <summary>The family in running text.</summary>
    public string Words => Family switch
    {
        DistributionFamily.HalfNormal => "half-normal",
        DistributionFamily.FoldedNormal => "folded normal",
        DistributionFamily.Weibull => "Weibull",
        DistributionFamily.Rayleigh => "Rayleigh",
        _ => Family.ToString().ToLowerInvariant(),
    };

    /// <summary>N(mu, sigma).</summary>
    public static FittedDistribution Normal(double mu, double sigma) => new(DistributionFamily.Normal, mu, Positive(sigma), 0);

    /// <summary>ln(x - shift) is N(mu, sigma).</summary>
    public static FittedDistribution Lognormal(double mu, double sigma, double shift = 0) => new(DistributionFamily.Lognormal, mu, Positive(sigma), shift);

    /// <summary>Weibull.</summary>
    public static FittedDistribution Weibull(double shape, double scale, double shift = 0) => new(DistributionFamily.Weibull, Positive(shape), Positive(scale), shift);

    /// <summary>|N(0, sigma)|.</summary>
    public static FittedDistribution HalfNormal(double sigma) => new(DistributionFamily.HalfNormal, 0, Positive(sigma), 0);

    /// <summary>|N(mu, sigma)|.</summary>
    public static FittedDistribution FoldedNormal(double mu, double sigma) => new(DistributionFamily.FoldedNormal, Math.Abs(mu), Positive(sigma), 0);

    /// <summary>Rayleigh.</summary>
    public static FittedDistribution Rayleigh(double sigma) => new(DistributionFamily.Rayleigh, 0, Positive(sigma), 0);

    /// <summary>Gamma.</summary>
    public static FittedDistribution Gamma(double shape, double scale) => new(DistributionFamily.Gamma, Positive(shape), Positive(scale), 0);

    /// <summary>P(X &gt; x).</summary>
    public double UpperTail(double x)
    {
        double y = x - _shift;
        return Family switch
        {
            DistributionFamily.Normal => NormalDistribution.UpperTail((x - _a) / _b),
            DistributionFamily.Lognormal => y > 0 ? NormalDistribution.UpperTail((Math.Log(y) - _a) / _b) : 1,
            DistributionFamily.Weibull => y > 0 ? Math.Exp(-Math.Pow(y / _b, _a)) : 1,
            DistributionFamily.HalfNormal => y > 0 ? 2 * NormalDistribution.UpperTail(y / _b) : 1,
            DistributionFamily.FoldedNormal => y > 0 ? NormalDistribution.UpperTail((y - _a) / _b) + NormalDistribution.UpperTail((y + _a) / _b) : 1,
            DistributionFamily.Rayleigh => y > 0 ? Math.Exp(-y * y / (2 * _b * _b)) : 1,
            _ => GammaFunctions.Upper(_a, y / _b),
        };
    }

    /// <summary>P(X ≤ x).</summary>
    public double LowerTail(double x)
    {
        double y = x - _shift;
        if (y <= 0 && Family != DistributionFamily.Normal) return 0;
        return Family switch
        {
            DistributionFamily.Normal => NormalDistribution.Cdf((x - _a) / _b),
            DistributionFamily.Lognormal => NormalDistribution.Cdf((Math.Log(y) - _a) / _b),
            DistributionFamily.Weibull => OneLessExp(Math.Pow(y / _b, _a)),
            DistributionFamily.HalfNormal => SpecialFunctions.Erf(y / (_b * Math.Sqrt(2))),
            DistributionFamily.FoldedNormal => Between((-y - _a) / _b, (y - _a) / _b),
            DistributionFamily.Rayleigh => OneLessExp(y * y / (2 * _b * _b)),
            _ => GammaFunctions.Lower(_a, y / _b),
        };
    }

    /// <summary>The x with P(X ≤ x) = p.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not strictly between 0 and 1.</exception>
    public double Quantile(double p)
    {
        if (!(p > 0 && p < 1)) throw new ArgumentOutOfRangeException(nameof(p), p, "The probability lies between 0 and 1, ends excluded.");
        return Family switch
        {
            DistributionFamily.Normal => _a + _b * NormalDistribution.Quantile(p),
            DistributionFamily.Lognormal => _shift + Math.Exp(_a + _b * NormalDistribution.Quantile(p)),
            DistributionFamily.Weibull => _shift + _b * Math.Pow(-LogOneLess(p), 1 / _a),
            DistributionFamily.HalfNormal => _b * NormalDistribution.UpperQuantile((1 - p) / 2),
            DistributionFamily.FoldedNormal => FoldedQuantile(p),
            DistributionFamily.Rayleigh => _b * Math.Sqrt(-2 * LogOneLess(p)),
            _ => _b * GammaDistribution.StandardQuantile(p, _a),
        };
    }

    /// <summary>ln of the density at x; minus infinity outside the support.</summary>
    public double LogDensity(double x)
    {
        double y = x - _shift, z;
        switch (Family)
        {
            case DistributionFamily.Normal:
                z = (x - _a) / _b;
                return -0.5 * z * z - Math.Log(_b) - GammaFunctions.HalfLogTwoPi;
            case DistributionFamily.Lognormal:
                if (y <= 0) return double.NegativeInfinity;
                z = (Math.Log(y) - _a) / _b;
                return -0.5 * z * z - Math.Log(_b) - GammaFunctions.HalfLogTwoPi - Math.Log(y);
            case DistributionFamily.Weibull:
                if (y <= 0) return double.NegativeInfinity;
                z = Math.Log(y / _b);
                return Math.Log(_a / _b) + (_a - 1) * z - Math.Exp(_a * z);
            case DistributionFamily.HalfNormal:
                return y < 0 ? double.NegativeInfinity : Math.Log(2 / _b) - GammaFunctions.HalfLogTwoPi - 0.5 * y * y / (_b * _b);
            case DistributionFamily.FoldedNormal:
                if (y < 0) return double.NegativeInfinity;
                z = (y - _a) / _b;
                return -0.5 * z * z - Math.Log(_b) - GammaFunctions.HalfLogTwoPi + Math.Log(1 + Math.Exp(-2 * y * _a / (_b * _b)));
            case DistributionFamily.Rayleigh:
                return y <= 0 ? double.NegativeInfinity : Math.Log(y / (_b * _b)) - 0.5 * y * y / (_b * _b);
            default:
                return y <= 0 ? double.NegativeInfinity : (_a - 1) * Math.Log(y / _b) - y / _b - Math.Log(_b) - GammaFunctions.LogGamma(_a);
        }
    }

    /// <summary>Log-likelihood of a sample.</summary>
    public double LogLikelihood(IReadOnlyList<double> values) => LogLikelihood(RepeatedValues.Of(values));

    /// <summary>Akaike's criterion.</summary>
    public double Aic(IReadOnlyList<double> values) => Aic(RepeatedValues.Of(values));

    /// <summary>Akaike's criterion with the correction for small samples; infinite where the sample is too small for it.</summary>
    public double Aicc(IReadOnlyList<double> values) => Aicc(RepeatedValues.Of(values));

    internal double LogLikelihood(RepeatedValues values) => values.Sum(LogDensity);

    private double Aic(RepeatedValues values) => 2 * FreeParameters - 2 * LogLikelihood(values);

    internal double Aicc(RepeatedValues values)
    {
        double k = FreeParameters, rest = values.Count - k - 1;
        return rest > 0 ? Aic(values) + 2 * k * (k + 1) / rest : double.PositiveInfinity;
    }

    /// <summary>Fits a family by maximum likelihood; null where the sample lies outside its support, has fewer than two values or no spread.</summary>
    public static FittedDistribution? Fit(DistributionFamily family, IReadOnlyList<double> values) => Fit(family, RepeatedValues.Of(values));

    internal static FittedDistribution? Fit(DistributionFamily family, RepeatedValues values)
    {
        int n = values.Count;
        if (n < 2 || values.Different.Length == 1) return null;
        bool positive = values.Different[0] > 0, notNegative = values.Different[0] >= 0;
        double meanSquare = values.Average(v => v * v);
        switch (family)
        {
            case DistributionFamily.Normal:
                double mean = values.Average(v => v);
                return Normal(mean, Math.Sqrt(values.Average(v => (v - mean) * (v - mean))));
            case DistributionFamily.Lognormal:
                if (!positive) return null;
                double log = values.Average(Math.Log);
                return Lognormal(log, Math.Sqrt(values.Average(v => (Math.Log(v) - log) * (Math.Log(v) - log))));
            case DistributionFamily.Weibull:
                return positive ? FitWeibull(values) : null;
            case DistributionFamily.HalfNormal:
                return notNegative ? HalfNormal(Math.Sqrt(meanSquare)) : null;
            case DistributionFamily.FoldedNormal:
                return notNegative ? FitFolded(values, meanSquare) : null;
            case DistributionFamily.Rayleigh:
                return notNegative ? Rayleigh(Math.Sqrt(meanSquare / 2)) : null;
            default:
                return positive ? FitGamma(values) : null;
        }
    }

    private static FittedDistribution? FitWeibull(RepeatedValues values)
    {
        double top = values.Different[^1];
        double[] logs = values.OfDifferent(v => Math.Log(v / top)), weights = new double[logs.Length];
        double mean = values.Sum(logs) / values.Count;
        double Score(double logShape)
        {
            double k = Math.Exp(logShape), sum = 0, weighted = 0;
            for (int i = 0; i < logs.Length; i++) weights[i] = Math.Exp(k * logs[i]);
            foreach (int place in values.Places)
            {
                sum += weights[place];
                weighted += weights[place] * logs[place];
            }
            return weighted / sum - 1 / k - mean;
        }
        double low = -7, high = 10;
        if (!(Score(low) < 0 && Score(high) > 0)) return null;
        double shape = Math.Exp(Roots.Between(Score, low, high));
        return Weibull(shape, top * Math.Pow(values.Sum(Array.ConvertAll(logs, l => Math.Exp(shape * l))) / values.Count, 1 / shape));
    }

    private static FittedDistribution FitFolded(RepeatedValues values, double meanSquare)
    {
        double mean = values.Average(v => v);
        double Score(double mu)
        {
            double variance = meanSquare - mu * mu;
            return values.Average(v => v * Math.Tanh(v * mu / variance)) - mu;
        }
        // The score is never positive at the mean and vanishes at 0 too; the root wanted is the first one met coming down from the mean.
        const int steps = 200;
        double above = mean;
        for (int i = steps - 1; i > 0; i--)
        {
            double mu = mean * i / steps;
            if (Score(mu) > 0)
            {
                double root = Score(above) == 0 ? above : Roots.Between(Score, mu, above);
                return FoldedNormal(root, Math.Sqrt(meanSquare - root * root));
            }
            above = mu;
        }
        return FoldedNormal(0, Math.Sqrt(meanSquare));
    }

    private static FittedDistribution? FitGamma(RepeatedValues values)
    {
        double mean = values.Average(v => v), s = Math.Log(mean) - values.Average(Math.Log);
        if (!(s > 1e-14)) return null;
        double Score(double logShape) => logShape - SpecialFunctions.DiGamma(Math.Exp(logShape)) - s;
        double low = Math.Log(0.5 / s) - 8, high = Math.Log(0.5 / s) + 8;
        double shape = Math.Exp(Roots.Between(Score, low, high));
        return Gamma(shape, mean / shape);
    }

    private double FoldedQuantile(double p)
    {
        double low = 0, high = _a + 40 * _b, rest = 1 - p;
        bool lower = p <= 0.5;
        return Roots.Newton(x =>
        {
            double density = Math.Exp(LogDensity(x));
            return lower ? (LowerTail(x) - p, density) : (UpperTail(x) - rest, -density);
        }, _a + _b * Math.Max(0.1, NormalDistribution.Quantile(p)), low, high, rising: lower);
    }

    /// <summary>Φ(high) - Φ(low), from whichever side loses no digits.</summary>
    private static double Between(double low, double high) =>
        low > 0 ? NormalDistribution.UpperTail(low) - NormalDistribution.UpperTail(high) : NormalDistribution.Cdf(high) - NormalDistribution.Cdf(low);

    private static double OneLessExp(double x) => x < 1e-5 ? x * (1 - x / 2 * (1 - x / 3)) : 1 - Math.Exp(-x);

    private static double LogOneLess(double p) => GammaFunctions.Log1P(-p);

    private static double Positive(double value) => value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "The parameter is positive.");
}
