namespace GapFlush.Numerics;

/// <summary>The gamma distribution with unit scale.</summary>
public static class GammaDistribution
{
    /// <summary>The x with P(shape, x) = p, 0 &lt; p &lt; 1.</summary>
    /// <remarks>Newton on the logarithm of the smaller tail against ln x, started from the Wilson-Hilferty approximation.</remarks>
    public static double StandardQuantile(double p, double shape)
    {
        double a = shape, h = 1 / (9 * a), w = 1 - h + NormalDistribution.Quantile(p) * Math.Sqrt(h);
        double start = w > 0.1 ? Math.Log(a) + 3 * Math.Log(w) : (Math.Log(p) + GammaFunctions.LogGamma(a + 1)) / a;
        bool lower = p <= 0.5;
        double target = lower ? Math.Log(p) : Math.Log(1 - p);
        double log = Roots.Newton(u =>
        {
            double x = Math.Exp(u), tail = lower ? GammaFunctions.Lower(a, x) : GammaFunctions.Upper(a, x), slope = a * GammaFunctions.Kernel(a, x) / tail;
            return (Math.Log(tail) - target, lower ? slope : -slope);
        }, start, -740, 60, rising: lower);
        return Math.Exp(log);
    }
}
