using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Intervals for a share that was counted.</summary>
/// <remarks>Source: E. B. Wilson, JASA 22 (1927) 209; C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404 [both from memory].</remarks>
public static class Proportion
{
    /// <summary>Wilson's interval: near the stated confidence on average.</summary>
    public static Interval Wilson(int hits, int count, double confidence = 0.95)
    {
        Check(hits, count);
        double z = NormalDistribution.UpperQuantile((1 - confidence) / 2), n = count, p = hits / n, middle = (p + z * z / (2 * n)) / (1 + z * z / n);
        double half = z / (1 + z * z / n) * Math.Sqrt(p * (1 - p) / n + z * z / (4 * n * n));
        return new(hits == 0 ? 0 : middle - half, hits == count ? 1 : middle + half);
    }

    /// <summary>Clopper and Pearson's interval: never below the stated confidence.</summary>
    public static Interval Exact(int hits, int count, double confidence = 0.95)
    {
        Check(hits, count);
        double alpha = (1 - confidence) / 2;
        // Beta quantiles by way of F.
        double low = 0, high = 1;
        if (hits > 0)
        {
            double f = FisherDistribution.Quantile(alpha, 2.0 * hits, 2.0 * (count - hits + 1));
            low = hits * f / (count - hits + 1 + hits * f);
        }
        if (hits < count)
        {
            double f = FisherDistribution.Quantile(1 - alpha, 2.0 * (hits + 1), 2.0 * (count - hits));
            high = (hits + 1) * f / (count - hits + (hits + 1) * f);
        }
        return new(low, high);
    }

    private static void Check(int hits, int count)
    {
        if (count < 1 || hits < 0 || hits > count) throw new ArgumentOutOfRangeException(nameof(hits), hits, Invariant($"A count lies between 0 and {count}."));
    }
}
