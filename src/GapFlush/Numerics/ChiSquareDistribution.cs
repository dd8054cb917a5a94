namespace GapFlush.Numerics;

/// <summary>The chi-square distribution with any positive degrees of freedom.</summary>
/// <remarks>Accuracy: 11 digits or better for 1 to 1 000 000 degrees of freedom, tails down to 1e-290 (DistributionTests).</remarks>
public static class ChiSquareDistribution
{
    /// <summary>P(X ≤ x).</summary>
    public static double Cdf(double x, double degreesOfFreedom) => GammaFunctions.Lower(Check(degreesOfFreedom) / 2, x / 2);

    /// <summary>P(X &gt; x), accurate where it is tiny.</summary>
    public static double UpperTail(double x, double degreesOfFreedom) => GammaFunctions.Upper(Check(degreesOfFreedom) / 2, x / 2);

    /// <summary>The x with P(X ≤ x) = p.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not in [0, 1], or the degrees of freedom are not positive.</exception>
    public static double Quantile(double p, double degreesOfFreedom)
    {
        if (!(p >= 0 && p <= 1)) throw new ArgumentOutOfRangeException(nameof(p), p, "A probability lies between 0 and 1.");
        if (p is 0 or 1) return p == 0 ? 0 : double.PositiveInfinity;
        return 2 * GammaDistribution.StandardQuantile(p, Check(degreesOfFreedom) / 2);
    }

    private static double Check(double degreesOfFreedom) =>
        degreesOfFreedom > 0 ? degreesOfFreedom : throw new ArgumentOutOfRangeException(nameof(degreesOfFreedom), degreesOfFreedom, "Degrees of freedom are positive.");
}
