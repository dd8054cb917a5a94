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
        return Of(hits, count, (1 - confidence) / 2);
    }

    /// <summary>Interval of a share counted in clusters, such as the places of several builds, that are more alike within than between.</summary>
    /// <remarks>
    /// Method: the variance of the share from the clusters, the count it is worth, less what few clusters cost (ratio of squared t factors), Clopper and Pearson with that count;
    /// never worth more than the values. Where nothing or everything was hit the clusters tell no variance: each is then worth one value.
    /// Source: E. L. Korn and B. I. Graubard, Survey Methodology 24 (1998) 193 [from memory].
    /// </remarks>
    /// <param name="clusters">Hits and count of each; at least two.</param>
    /// <param name="confidence">Confidence.</param>
    public static Interval ExactOfClusters(IReadOnlyList<(int Hits, int Count)> clusters, double confidence = 0.95)
    {
        if (clusters.Count < 2) throw new ArgumentException("A share of clusters needs two or more.", nameof(clusters));
        double hits = 0, count = 0, squares = 0, alpha = (1 - confidence) / 2;
        foreach ((int h, int c) in clusters)
        {
            Check(h, c);
            (hits, count) = (hits + h, count + c);
        }
        double share = hits / count;
        if (hits == 0 || hits == count) return Of(share * clusters.Count, clusters.Count, alpha);
        foreach ((int h, int c) in clusters) squares += (h - share * c) * (h - share * c);
        double variance = clusters.Count / (clusters.Count - 1.0) * squares / (count * count), t = StudentDistribution.UpperQuantile(alpha, count - 1) / StudentDistribution.UpperQuantile(alpha, clusters.Count - 1);
        double worth = Math.Min(count, share * (1 - share) / variance * t * t);
        return Of(share * worth, worth, alpha);
    }

    // Beta quantiles by way of F.
    private static Interval Of(double hits, double count, double alpha)
    {
        double low = 0, high = 1;
        if (hits > 0)
        {
            double f = FisherDistribution.Quantile(alpha, 2 * hits, 2 * (count - hits + 1));
            low = hits * f / (count - hits + 1 + hits * f);
        }
        if (hits < count)
        {
            double f = FisherDistribution.Quantile(1 - alpha, 2 * (hits + 1), 2 * (count - hits));
            high = (hits + 1) * f / (count - hits + (hits + 1) * f);
        }
        return new(low, high);
    }

    private static void Check(int hits, int count)
    {
        if (count < 1 || hits < 0 || hits > count) throw new ArgumentOutOfRangeException(nameof(hits), hits, Invariant($"A count lies between 0 and {count}."));
    }
}
