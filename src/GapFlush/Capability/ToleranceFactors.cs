using GapFlush.Numerics;

namespace GapFlush.Capability;

/// <summary>Factors k such that mean ± k s holds at least a stated share of normal values with a stated confidence.</summary>
/// <remarks>
/// <para>Method: one-sided by the noncentral t quantile; two-sided by integrating the chi-square condition over the error of the mean, solved for k.</para>
/// <para>Accuracy: 9 digits for 2 to 1000 values (StatisticsReferenceTests).</para>
/// <para>Source: ISO 16269-6:2014 [not opened]; W. G. Howe, JASA 64 (1969) 610 and NIST/SEMATECH e-Handbook 7.2.6.3 for the approximations [from memory].</para>
/// </remarks>
public static class ToleranceFactors
{
    /// <summary>One-sided, exact.</summary>
    /// <param name="count">Values behind mean and standard deviation, 2 or more.</param>
    /// <param name="content">Share to be held, between 0 and 1.</param>
    /// <param name="confidence">Confidence, between 0 and 1.</param>
    public static double OneSided(int count, double content, double confidence)
    {
        Check(count, content, confidence);
        double root = Math.Sqrt(count);
        return NoncentralTDistribution.Quantile(confidence, count - 1, NormalDistribution.Quantile(content) * root) / root;
    }

    /// <summary>One-sided, by the closed normal approximation; null where that has no solution.</summary>
    public static double? OneSidedApproximate(int count, double content, double confidence)
    {
        Check(count, content, confidence);
        double zp = NormalDistribution.Quantile(content), zc = NormalDistribution.Quantile(confidence), a = 1 - zc * zc / (2.0 * (count - 1)), b = zp * zp - zc * zc / count, root = zp * zp - a * b;
        return a > 0 && root > 0 ? (zp + Math.Sqrt(root)) / a : null;
    }

    /// <summary>Two-sided, by Howe's approximation.</summary>
    public static double TwoSidedApproximate(int count, double content, double confidence)
    {
        Check(count, content, confidence);
        double nu = count - 1;
        return NormalDistribution.Quantile((1 + content) / 2) * Math.Sqrt(nu * (1 + 1.0 / count) / ChiSquareDistribution.Quantile(1 - confidence, nu));
    }

    /// <summary>Two-sided, exact.</summary>
    public static double TwoSided(int count, double content, double confidence)
    {
        Check(count, content, confidence);
        double nu = count - 1, sigma = 1 / Math.Sqrt(count);
        (double[] nodes, double[] weights) = GaussLegendre.Rule(40);
        double[] edges = [0, 1.5, 3.5, 6, 9.5];
        List<(double Weight, double HalfWidthSquared)> points = [];
        for (int e = 1; e < edges.Length; e++)
        {
            double half = (edges[e] - edges[e - 1]) / 2, middle = (edges[e] + edges[e - 1]) / 2;
            for (int i = 0; i < nodes.Length; i++)
            {
                double u = middle + half * nodes[i], r = HalfWidth(u * sigma, content);
                points.Add((2 * half * weights[i] * NormalDistribution.Density(u), r * r));
            }
        }
        double start = TwoSidedApproximate(count, content, confidence), low = start / 2, high = start * 2;
        // P(s is too small for the interval to hold the share) - allowed risk; falls with k.
        double Excess(double k)
        {
            double sum = 0;
            foreach ((double weight, double square) in points) sum += weight * ChiSquareDistribution.Cdf(nu * square / (k * k), nu);
            return sum - (1 - confidence);
        }
        while (Excess(low) < 0) low /= 2;
        while (Excess(high) > 0) high *= 2;
        return Roots.Between(Excess, low, high, 1e-13 * start);
    }

    /// <summary>The r with Φ(z + r) - Φ(z - r) = content, by Newton with a bracket.</summary>
    private static double HalfWidth(double z, double content)
    {
        double rest = 1 - content;
        return Roots.Newton(r => (rest - NormalDistribution.UpperTail(z + r) - NormalDistribution.UpperTail(r - z), NormalDistribution.Density(z + r) + NormalDistribution.Density(r - z)),
            z + NormalDistribution.Quantile((1 + content) / 2), 0, z + NormalDistribution.UpperQuantile(rest / 2) + 1, rising: true);
    }

    private static void Check(int count, double content, double confidence)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 2);
        if (!(content > 0 && content < 1)) throw new ArgumentOutOfRangeException(nameof(content), content, "The share to be held lies between 0 and 1, ends excluded.");
        if (!(confidence > 0 && confidence < 1)) throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "The confidence lies between 0 and 1, ends excluded.");
    }
}
