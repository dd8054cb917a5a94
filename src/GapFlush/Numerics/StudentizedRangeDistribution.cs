namespace GapFlush.Numerics;

/// <summary>The studentized range: the range of k normal values over an independent standard deviation. Used to compare several means at once.</summary>
/// <remarks>
/// <para>Method: the range distribution integrated over the distribution of the standard deviation, Gauss-Legendre on panels round its peak.</para>
/// <para>Accuracy: 9 digits, relative in the upper tail and absolute in the lower one, for 2 to 50 means and 1 to 100 000 degrees of freedom
/// (StatisticsReferenceTests).</para>
/// <para>Source: definition as in NIST/SEMATECH e-Handbook 7.4.7.1; the quadrature is our own.</para>
/// </remarks>
public static class StudentizedRangeDistribution
{
    /// <summary>P(Q ≤ q).</summary>
    /// <param name="q">The ratio.</param>
    /// <param name="means">Number of means, 2 or more.</param>
    /// <param name="degreesOfFreedom">Degrees of freedom of the standard deviation, at least 1; infinity is allowed.</param>
    public static double Cdf(double q, int means, double degreesOfFreedom) =>
        q <= 0 ? 0 : Over(degreesOfFreedom, s => RangeDistribution.Cdf(q * s, means));

    /// <summary>P(Q &gt; q), accurate where it is tiny.</summary>
    public static double UpperTail(double q, int means, double degreesOfFreedom) =>
        q <= 0 ? 1 : Over(degreesOfFreedom, s => RangeDistribution.UpperTail(q * s, means));

    /// <summary>The q with P(Q ≤ q) = p.</summary>
    public static double Quantile(double p, int means, double degreesOfFreedom)
    {
        if (!(p > 0 && p < 1)) throw new ArgumentOutOfRangeException(nameof(p), p, "The probability lies between 0 and 1, ends excluded.");
        bool lower = p <= 0.5;
        double target = Math.Log(lower ? p : 1 - p);
        double Distance(double logQ) => Math.Log(Math.Max(1e-320, lower ? Cdf(Math.Exp(logQ), means, degreesOfFreedom) : UpperTail(Math.Exp(logQ), means, degreesOfFreedom))) - target;
        double low = -3, high = 3;
        while (Distance(low) > 0 == lower) low -= 4;
        while (Distance(high) > 0 != lower) high += 4;
        return Math.Exp(Roots.Between(Distance, low, high, 1e-13));
    }

    private static double Over(double nu, Func<double, double> inner)
    {
        if (!(nu >= 1)) throw new ArgumentOutOfRangeException(nameof(nu), nu, "Degrees of freedom are at least 1.");
        if (double.IsPositiveInfinity(nu)) return inner(1);
        double a = nu / 2, w = 1 / Math.Sqrt(2 * nu);
        double constant = -GammaFunctions.StirlingError(a) - GammaFunctions.HalfLogTwoPi - 0.5 * Math.Log(a) + Math.Log(2 * a);
        List<double> edges = [0, .. new[] { 1 - 9 * w, 1 - 5 * w, 1 - 2.5 * w, 1 - w, 1, 1 + w, 1 + 2.5 * w, 1 + 5 * w, 1 + 9 * w, 1 + 14 * w }.Where(e => e > 0)];
        // With few degrees of freedom a long tail to zero decides the upper tail of q: refine towards zero.
        for (double e = edges[1] / 4; e > 1e-4 && nu < 60; e /= 4) edges.Add(e);
        edges.Sort();
        (double[] nodes, double[] weights) = GaussLegendre.Rule(16);
        double sum = 0;
        for (int panel = 1; panel < edges.Count; panel++)
        {
            double half = (edges[panel] - edges[panel - 1]) / 2, middle = (edges[panel] + edges[panel - 1]) / 2;
            for (int i = 0; i < nodes.Length; i++)
            {
                double s = middle + half * nodes[i], density = Math.Exp(constant - GammaFunctions.Deviance(a, a * s * s) - Math.Log(s));
                if (density > 1e-30) sum += half * weights[i] * density * inner(s);
            }
        }
        return Math.Min(1, sum);
    }
}
