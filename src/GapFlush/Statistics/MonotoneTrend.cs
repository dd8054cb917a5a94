using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Does a series rise or fall, and by how much? Without assuming a distribution.</summary>
/// <remarks>
/// <para>Method: Mann-Kendall S over all pairs in order, variance corrected for ties, normal with continuity correction; Theil-Sen slope as the median of
/// all pairwise slopes, 95 % limits by order statistics rounded outwards.</para>
/// <para>Source: H. B. Mann, Econometrica 13 (1945) 245; P. K. Sen, JASA 63 (1968) 1379 [both from memory].</para>
/// </remarks>
/// <param name="S">Concordant minus discordant pairs.</param>
/// <param name="VarianceOfS">Variance of S without a trend.</param>
/// <param name="Z">S in standard deviations, continuity corrected.</param>
/// <param name="Probability">Two-sided p value.</param>
/// <param name="TauB">Kendall's tau-b.</param>
/// <param name="Slope">Theil-Sen slope per unit of x.</param>
/// <param name="SlopeInterval">95 % limits of the slope.</param>
/// <param name="InterceptOfMedians">Median y less slope times median x.</param>
/// <param name="InterceptOfResiduals">Median of y less slope times x.</param>
public sealed record MonotoneTrend(long S, double VarianceOfS, double Z, double Probability, double TauB, double Slope, Interval SlopeInterval, double InterceptOfMedians, double InterceptOfResiduals)
{
    /// <summary>Tests a series; null below three values or where all x are equal.</summary>
    /// <param name="x">Place of each value, ascending; shape (n).</param>
    /// <param name="y">Values in the same order.</param>
    public static MonotoneTrend? Of(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        int n = y.Count;
        if (x.Count != n) throw new ArgumentException("There must be as many places as values.", nameof(x));
        if (n < 3) return null;
        long s = 0;
        List<double> slopes = [];
        for (int i = 0; i < n; i++)
        {
            for (int j = i + 1; j < n; j++)
            {
                s += y[j].CompareTo(y[i]);
                if (x[i] != x[j]) slopes.Add((y[j] - y[i]) / (x[j] - x[i]));
            }
        }
        if (slopes.Count == 0) return null;
        slopes.Sort();
        IReadOnlyList<int> ties = Ranks.Of(y).Ties;
        double nn = n, variance = (nn * (nn - 1) * (2 * nn + 5) - ties.Sum(t => (double)t * (t - 1) * (2.0 * t + 5))) / 18;
        double z = variance > 0 ? (s - Math.Sign(s)) / Math.Sqrt(variance) : 0;
        double pairs = nn * (nn - 1) / 2, tied = ties.Sum(t => t * (t - 1.0) / 2);
        double slope = Quantiles.OfSorted(slopes, 0.5), c = NormalDistribution.UpperQuantile(0.025) * Math.Sqrt(variance), count = slopes.Count;
        int low = Math.Max(1, (int)Math.Floor((count - c) / 2)), high = Math.Min(slopes.Count, (int)Math.Ceiling((count + c) / 2) + 1);
        return new(s, variance, z, Math.Min(1, 2 * NormalDistribution.UpperTail(Math.Abs(z))), tied < pairs ? s / Math.Sqrt(pairs * (pairs - tied)) : double.NaN, slope,
            new(slopes[low - 1], slopes[high - 1]), Quantiles.Of(y, 0.5) - slope * Quantiles.Of(x, 0.5), Quantiles.Of(y.Select((v, i) => v - slope * x[i]), 0.5));
    }

    /// <summary>Sum of squared successive differences over the sum of squares (von Neumann): near 2 where values do not hang together.</summary>
    public static double VonNeumannRatio(SampleSummary sample)
    {
        double sum = 0;
        for (int i = 1; i < sample.Count; i++) sum += (sample.Values[i] - sample.Values[i - 1]) * (sample.Values[i] - sample.Values[i - 1]);
        return sum / sample.SumOfSquares;
    }
}
