using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Where a series most likely changed its mean.</summary>
/// <remarks>
/// <para>Method: of all splits in two, the one with the largest |pooled t| (ties: the first). The 95 % interval holds every split whose likelihood is not
/// worse than the best one's by more than the chi-square bound; it is approximate. The p value is that of the largest of n - 1 t values, each
/// at its own degrees of freedom, by Bonferroni: never too small. Beside it the cumulative sum of deviations and Pettitt's rank test.</para>
/// <para>No answer (null): fewer than four values, or no spread.</para>
/// <para>Source: D. M. Hawkins, JASA 72 (1977) 180; A. N. Pettitt, Applied Statistics 28 (1979) 126 [both from memory].</para>
/// </remarks>
public sealed record ChangePoint
{
    /// <summary>Number, from 1, of the last value before the change.</summary>
    public required int LastBefore { get; init; }

    /// <summary>Earliest and latest number that the data allow for <see cref="LastBefore"/>, about 95 %.</summary>
    public required (int First, int Last) LastBeforeInterval { get; init; }

    /// <summary>Mean up to and including <see cref="LastBefore"/>.</summary>
    public required double MeanBefore { get; init; }

    /// <summary>Mean after it.</summary>
    public required double MeanAfter { get; init; }

    /// <summary>The largest |pooled t|.</summary>
    public required double LargestT { get; init; }

    /// <summary>p value of the largest |t|, Bonferroni over all splits.</summary>
    public required double Probability { get; init; }

    /// <summary>n ln(total sum of squares / that of the split).</summary>
    public required double LikelihoodRatio { get; init; }

    /// <summary>Number, from 1, at which the cumulative sum of deviations is farthest from 0.</summary>
    public required int CusumFarthest { get; init; }

    /// <summary>That farthest distance.</summary>
    public required double CusumDistance { get; init; }

    /// <summary>The farthest distance over s √n.</summary>
    public required double CusumStandardised { get; init; }

    /// <summary>Largest minus smallest cumulative sum.</summary>
    public required double CusumRange { get; init; }

    /// <summary>Pettitt's K.</summary>
    public required long PettittK { get; init; }

    /// <summary>Number, from 1, of the last value before the change by Pettitt.</summary>
    public required int PettittLastBefore { get; init; }

    /// <summary>Approximate p value of Pettitt's K.</summary>
    public required double PettittProbability { get; init; }

    /// <summary>Looks for one change of mean.</summary>
    public static ChangePoint? Find(IReadOnlyList<double> values)
    {
        int n = values.Count;
        if (n < 4) return null;
        SampleSummary all = new([.. values]);
        if (!(all.SumOfSquares > 0)) return null;
        double[] d = [.. values.Select(v => v - all.Mean)], sums = new double[n];
        double running = 0;
        for (int i = 0; i < n; i++) sums[i] = running += d[i];
        double total = all.SumOfSquares;
        double[] split = new double[n];
        int best = 1;
        for (int k = 1; k < n; k++)
        {
            // Between-part of the sum of squares of a split; deviations sum to 0, so both halves' sums are ± the same.
            split[k] = sums[k - 1] * sums[k - 1] * (1.0 / k + 1.0 / (n - k));
            if (split[k] > split[best] * (1 + 1e-12)) best = k;
        }
        double within = Math.Max(0, total - split[best]), t = Math.Sqrt(split[best] / (within / (n - 2)));
        double cut = ChiSquareDistribution.Quantile(0.95, 1);
        bool Allowed(int k) => within == 0 ? k == best : n * Math.Log((total - split[k]) / within) <= cut;
        int[] allowed = [.. Enumerable.Range(1, n - 1).Where(Allowed)];
        int far = Enumerable.Range(0, n).MaxBy(i => Math.Abs(sums[i]));
        long[] u = new long[n];
        for (int k = 1; k < n; k++)
        {
            long turn = u[k - 1];
            for (int j = 0; j < n; j++) turn += values[j].CompareTo(values[k - 1]);
            u[k] = turn;
        }
        int pettitt = Enumerable.Range(1, n - 1).MaxBy(k => Math.Abs(u[k]));
        double kk = Math.Abs(u[pettitt]);
        return new()
        {
            LastBefore = best,
            LastBeforeInterval = (allowed.Min(), allowed.Max()),
            MeanBefore = new SampleSummary([.. values.Take(best)]).Mean,
            MeanAfter = new SampleSummary([.. values.Skip(best)]).Mean,
            LargestT = t,
            Probability = Math.Min(1, (n - 1) * StudentDistribution.TwoSided(t, n - 2)),
            LikelihoodRatio = n * Math.Log(total / within),
            CusumFarthest = far + 1,
            CusumDistance = Math.Abs(sums[far]),
            CusumStandardised = Math.Abs(sums[far]) / (all.Sd * Math.Sqrt(n)),
            CusumRange = sums.Max() - sums.Min(),
            PettittK = (long)kk,
            PettittLastBefore = pettitt,
            PettittProbability = Math.Min(1, 2 * Math.Exp(-6 * kk * kk / (Math.Pow(n, 3) + (double)n * n))),
        };
    }
}
