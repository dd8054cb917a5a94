using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Approximate intervals of percentile indices: the delta method on the likelihood of the fitted distribution.</summary>
internal static class DeltaIntervals
{
    /// <summary>Interval of Ppk and of the fraction outside from the curvature of the likelihood.</summary>
    public static (Interval Ppk, double LowerBound, Interval Fraction, double StandardError)? Of(FittedDistribution fit, SampleSummary s, Limits limits)
    {
        double[] at = fit.FreeValues;
        int k = at.Length;
        double[] steps = [.. at.Select(v => 1e-4 * Math.Max(Math.Abs(v), 0.1 * s.Sd))];
        double Likelihood(double[] p) => fit.WithFreeValues(p).LogLikelihood(s.Repeated);
        double[,] information = new double[k, k];
        double centre = Likelihood(at);
        for (int i = 0; i < k; i++)
        {
            for (int j = i; j < k; j++)
            {
                double value = i == j
                    ? (Likelihood(Moved(i, 1)) - 2 * centre + Likelihood(Moved(i, -1))) / (steps[i] * steps[i])
                    : (Likelihood(Moved(i, 1, j, 1)) - Likelihood(Moved(i, 1, j, -1)) - Likelihood(Moved(i, -1, j, 1)) + Likelihood(Moved(i, -1, j, -1))) / (4 * steps[i] * steps[j]);
                information[i, j] = information[j, i] = -value;
            }
        }
        double df = s.Count - k, inflate = s.Count / df;
        double Error(Func<FittedDistribution, double> of)
        {
            double[] slope = [.. Enumerable.Range(0, k).Select(i => (of(fit.WithFreeValues(Moved(i, 1))) - of(fit.WithFreeValues(Moved(i, -1)))) / (2 * steps[i]))];
            double determinant = k == 1 ? information[0, 0] : information[0, 0] * information[1, 1] - information[0, 1] * information[0, 1];
            double variance = k == 1 ? slope[0] * slope[0] / determinant
                : (slope[0] * slope[0] * information[1, 1] - 2 * slope[0] * slope[1] * information[0, 1] + slope[1] * slope[1] * information[0, 0]) / determinant;
            return Math.Sqrt(variance * inflate);
        }
        PercentileIndices here = new(fit, limits);
        double error = Error(d => new PercentileIndices(d, limits).Ppk), two = StudentDistribution.UpperQuantile(0.025, df);
        // The fraction on the scale of normal quantiles, where it is nearly straight.
        double Score(FittedDistribution d) => NormalDistribution.UpperQuantile(Math.Clamp(new PercentileIndices(d, limits).FractionOutside, 1e-300, 1 - 1e-16));
        double score = Score(fit), scoreError = Error(Score);
        if (!double.IsFinite(error) || !double.IsFinite(scoreError)) return null;
        return (new(here.Ppk - two * error, here.Ppk + two * error), here.Ppk - StudentDistribution.UpperQuantile(0.05, df) * error,
            new(NormalDistribution.UpperTail(score + two * scoreError), NormalDistribution.UpperTail(score - two * scoreError)), error);

        double[] Moved(int i, int up, int j = -1, int other = 0)
        {
            double[] p = [.. at];
            p[i] += up * steps[i];
            if (j >= 0) p[j] += other * steps[j];
            return p;
        }
    }

    /// <summary>
    /// How many values in all would show the goal if the distribution stays as it is: the standard error falls with the root of the count. Null where the index does not exceed the goal.
    /// </summary>
    public static int? CountToShow(double ppk, double standardError, int count, int free, double goal)
    {
        if (!(ppk > goal)) return null;
        bool Shown(int n) => ppk - StudentDistribution.UpperQuantile(0.05, n - free) * standardError * Math.Sqrt((double)(count - free) / (n - free)) >= goal;
        return CountSearch.Least(count, 2 * count, Shown);
    }
}
