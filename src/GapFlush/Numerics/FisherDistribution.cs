namespace GapFlush.Numerics;

/// <summary>The F distribution. Infinite denominator degrees of freedom are allowed.</summary>
/// <remarks>Accuracy: 10 digits or better for 1 to 1 000 000 degrees of freedom, tails down to 1e-290 (DistributionTests).</remarks>
public static class FisherDistribution
{
    /// <summary>P(F &gt; f), accurate where it is tiny.</summary>
    /// <param name="f">The ratio.</param>
    /// <param name="numerator">Degrees of freedom of the numerator.</param>
    /// <param name="denominator">Degrees of freedom of the denominator.</param>
    public static double UpperTail(double f, double numerator, double denominator) => Tails(f, numerator, denominator).Upper;

    /// <summary>P(F ≤ f).</summary>
    public static double Cdf(double f, double numerator, double denominator) => Tails(f, numerator, denominator).Lower;

    /// <summary>The f with P(F ≤ f) = p.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not in [0, 1], or degrees of freedom are not positive.</exception>
    public static double Quantile(double p, double numerator, double denominator)
    {
        if (!(p >= 0 && p <= 1)) throw new ArgumentOutOfRangeException(nameof(p), p, "A probability lies between 0 and 1.");
        if (p is 0 or 1) return p == 0 ? 0 : double.PositiveInfinity;
        if (double.IsPositiveInfinity(denominator)) return ChiSquareDistribution.Quantile(p, numerator) / numerator;
        bool lower = p <= 0.5;
        double target = lower ? Math.Log(p) : Math.Log(1 - p);
        double log = Roots.Newton(u =>
        {
            double f = Math.Exp(u);
            (double below, double above) = Tails(f, numerator, denominator);
            (double x, double y) = Share(f, numerator, denominator);
            double kernel = BetaFunctions.Kernel(numerator / 2, denominator / 2, x, y);
            return lower ? (Math.Log(below) - target, kernel / below) : (Math.Log(above) - target, -kernel / above);
        }, 0, -700, 700, rising: lower);
        return Math.Exp(log);
    }

    private static (double Lower, double Upper) Tails(double f, double numerator, double denominator)
    {
        if (!(numerator > 0)) throw new ArgumentOutOfRangeException(nameof(numerator), numerator, "Degrees of freedom are positive.");
        if (!(denominator > 0)) throw new ArgumentOutOfRangeException(nameof(denominator), denominator, "Degrees of freedom are positive.");
        if (f <= 0) return (0, 1);
        if (double.IsPositiveInfinity(f)) return (1, 0);
        if (double.IsPositiveInfinity(denominator)) return (ChiSquareDistribution.Cdf(f * numerator, numerator), ChiSquareDistribution.UpperTail(f * numerator, numerator));
        (double x, double y) = Share(f, numerator, denominator);
        return BetaFunctions.Regularized(numerator / 2, denominator / 2, x, y);
    }

    private static (double X, double Y) Share(double f, double numerator, double denominator)
    {
        double ratio = numerator * f / denominator;
        return (1 / (1 + 1 / ratio), 1 / (1 + ratio));
    }
}
