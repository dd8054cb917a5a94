using System.Collections.Concurrent;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Intervals for the capability of a zone or door: values of several places on several builds.</summary>
/// <remarks>
/// Generalized intervals: mean squares over chi-squares and the mean over a normal deviate are drawn, seeded, and the indices they give are ranked.
/// Satterthwaite's degrees of freedom instead held the truth in only 91 % of 2000 simulated zones of five builds. METHOD.md, eq. 8.
/// </remarks>
internal static class PlacesIntervals
{
    private const int Draws = 8000, MostKept = 48, MostBuilds = 20_000;

    // The same seed gives the same draws for the same degrees of freedom, so they are kept: zones of one door share them.
    private static readonly ConcurrentDictionary<(int, int), (double[] Between, double[] Within, double[] Normal)> Kept = new();

    /// <summary>Interval of Ppk, its one-sided lower bound, and the interval of the fraction outside.</summary>
    public static (Interval Ppk, double LowerBound, Interval Fraction) Of(double mean, VarianceComponents v, double total, Limits limits)
    {
        OneWayAnova a = v.Anova;
        double[] ppk = Drawn(mean, a.BetweenSumOfSquares, a.WithinSumOfSquares, a.BetweenDegreesOfFreedom, a.WithinDegreesOfFreedom, v.EffectiveSize, total, limits, out double[]? fraction);
        Array.Sort(ppk);
        Interval interval = new(Quantiles.OfSorted(ppk, 0.025), Quantiles.OfSorted(ppk, 0.975)), outside;
        // With one limit the fraction follows from the index; with two both tails count.
        if (fraction is null) outside = new(NormalDistribution.UpperTail(3 * interval.High), NormalDistribution.UpperTail(3 * interval.Low));
        else
        {
            Array.Sort(fraction);
            outside = new(Quantiles.OfSorted(fraction, 0.025), Quantiles.OfSorted(fraction, 0.975));
        }
        return (interval, Quantiles.OfSorted(ppk, 0.05), outside);
    }

    /// <summary>
    /// About how many builds in all would show the goal if both mean squares and the mean stay as they are: Satterthwaite's degrees of freedom, near enough for a count.
    /// Null where they would not, or it takes more than twenty thousand.
    /// </summary>
    public static int? CountToShow(double mean, VarianceComponents v, double total, Limits limits, double goal)
    {
        int builds = v.Anova.BetweenDegreesOfFreedom + 1;
        double each = total / builds, withinEach = (double)v.Anova.WithinDegreesOfFreedom / builds, n0 = v.EffectiveSize;
        double b = v.Anova.BetweenMeanSquare / n0, w = (1 - 1 / n0) * v.Anova.WithinMeanSquare, variance = b + w;
        double ppk = new CapabilityIndices(builds, builds - 1, mean, Math.Sqrt(variance), limits).Ppk;
        if (!(ppk > goal)) return null;
        bool Shown(int n)
        {
            double df = variance * variance / (b * b / (n - 1) + w * w / (withinEach * n)), worth = variance * each * n / v.Anova.BetweenMeanSquare;
            double root = 3 * Math.Sqrt(worth);
            return NoncentralTDistribution.UpperTail(root * ppk, df, root * goal) <= 0.05;
        }
        int low = builds, high = 2 * builds;
        while (!Shown(high))
        {
            low = high;
            high *= 2;
            if (high > MostBuilds) return null;
        }
        while (high - low > 1)
        {
            int middle = low + (high - low) / 2;
            if (Shown(middle)) high = middle; else low = middle;
        }
        return high;
    }

    private static double[] Drawn(double mean, double betweenSquares, double withinSquares, int betweenDf, int withinDf, double n0, double total, Limits limits, out double[]? fraction)
    {
        (double[] between, double[] within, double[] normal) = DrawsFor(betweenDf, withinDf);
        double[] ppk = new double[Draws];
        fraction = limits is { Lower: not null, Upper: not null } ? new double[Draws] : null;
        double upper = limits.Upper ?? double.PositiveInfinity, lower = limits.Lower ?? double.NegativeInfinity;
        // Two limits: that of the nearer side, as for single places. The lesser of the two in each draw held the truth in only 92 % of zones whose mean lies in the middle.
        bool isUpper = upper - mean <= mean - lower;
        for (int i = 0; i < Draws; i++)
        {
            double b = betweenSquares / between[i], w = withinSquares / within[i];
            double sigma = Math.Sqrt(b / n0 + (1 - 1 / n0) * w), centre = mean + normal[i] * Math.Sqrt(b / total), above = (upper - centre) / sigma, below = (centre - lower) / sigma;
            ppk[i] = (isUpper ? above : below) / 3;
            if (fraction is not null) fraction[i] = NormalDistribution.UpperTail(above) + NormalDistribution.UpperTail(below);
        }
        return ppk;
    }

    private static (double[], double[], double[]) DrawsFor(int betweenDf, int withinDf)
    {
        if (Kept.TryGetValue((betweenDf, withinDf), out (double[], double[], double[]) kept)) return kept;
        SeededRandom random = new(22514);
        double[] between = new double[Draws], within = new double[Draws], normal = new double[Draws];
        for (int i = 0; i < Draws; i++) (between[i], within[i], normal[i]) = (random.ChiSquare(betweenDf), random.ChiSquare(withinDf), random.Normal());
        if (Kept.Count >= MostKept) Kept.Clear();
        return Kept[(betweenDf, withinDf)] = (between, within, normal);
    }
}
