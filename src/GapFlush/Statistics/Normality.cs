using System.Collections.Concurrent;
using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Tests of whether a sample can come from a normal distribution with unknown mean and spread.</summary>
/// <remarks>
/// <para>Source: T. W. Anderson and D. A. Darling, JASA 49 (1954) 765, p values after R. B. D'Agostino and M. A. Stephens, Goodness-of-Fit
/// Techniques (1986), table 4.9; P. Royston, Applied Statistics 44 (1995) 547, algorithm AS R94 [all from memory].</para>
/// <para>Accuracy: the `normality` reference group (StatisticsReferenceTests).</para>
/// </remarks>
public static class Normality
{
    // They take longer than the test itself, and the places of a door have the same few counts.
    private static readonly ConcurrentDictionary<int, double[]> WeightsByCount = new();

    /// <summary>Anderson-Darling: A², A² corrected for the sample size, and its p value. Null below 8 values or without spread.</summary>
    public static (double A2, double Corrected, double Probability)? AndersonDarling(SampleSummary sample)
    {
        int n = sample.Count;
        if (n < 8 || !(sample.Sd > 0)) return null;
        double sum = 0, mean = sample.Mean, sd = sample.Sd, low = double.NaN, high = double.NaN, logLow = 0, logHigh = 0;
        IReadOnlyList<double> sorted = sample.SortedValues;
        for (int i = 0; i < n; i++)
        {
            // Rounded readings come again and again: what was worked out for the last value often does for this one.
            double l = (sorted[i] - mean) / sd, h = (sorted[n - 1 - i] - mean) / sd;
            if (l != low) (low, logLow) = (l, NormalDistribution.LogCdf(l));
            if (h != high) (high, logHigh) = (h, NormalDistribution.LogCdf(-h));
            sum += (2 * i + 1) * (logLow + logHigh);
        }
        double a2 = -n - sum / n, a = a2 * (1 + 0.75 / n + 2.25 / ((double)n * n));
        // The formula for the right tail turns up again at A² = 153; nothing above 100 can be told apart.
        double t = Math.Min(a, 100);
        double p = t < 0.2 ? 1 - Math.Exp(-13.436 + 101.14 * t - 223.73 * t * t)
            : t < 0.34 ? 1 - Math.Exp(-8.318 + 42.796 * t - 59.938 * t * t)
            : t < 0.6 ? Math.Exp(0.9177 - 4.279 * t - 1.38 * t * t)
            : Math.Exp(1.2937 - 5.709 * t + 0.0186 * t * t);
        return (a2, a, p);
    }

    /// <summary>Shapiro-Wilk W and its p value. Null below 3 or above 5000 values, or without spread.</summary>
    public static TestResult? ShapiroWilk(SampleSummary sample)
    {
        int n = sample.Count;
        if (n is < 3 or > 5000 || !(sample.SumOfSquares > 0)) return null;
        double[] a = WeightsByCount.GetOrAdd(n, Weights);
        double top = 0, squares = 0;
        for (int i = 0; i < n; i++)
        {
            top += a[i] * (sample.SortedValues[i] - sample.Mean);
            squares += a[i] * a[i];
        }
        double w = Math.Min(1, top * top / (sample.SumOfSquares * squares));
        if (n == 3)
            return new(w, Math.Max(0, 6 / Math.PI * (Math.Asin(Math.Sqrt(w)) - Math.Asin(Math.Sqrt(0.75)))));
        double y = Math.Log(1 - w), mean, sd;
        if (n <= 11)
        {
            double g = -2.273 + 0.459 * n;
            if (y >= g) return new(w, 1e-99);
            y = -Math.Log(g - y);
            mean = Polynomial(n, 0.544, -0.39978, 0.025054, -6.714e-4);
            sd = Math.Exp(Polynomial(n, 1.3822, -0.77857, 0.062767, -0.0020322));
        }
        else
        {
            double log = Math.Log(n);
            mean = Polynomial(log, -1.5861, -0.31082, -0.083751, 0.0038915);
            sd = Math.Exp(Polynomial(log, -0.4803, -0.082676, 0.0030302));
        }
        return new(w, NormalDistribution.UpperTail((y - mean) / sd));
    }

    private static double[] Weights(int n)
    {
        double[] a = new double[n];
        if (n == 3)
        {
            a[0] = -Math.Sqrt(0.5);
            a[2] = -a[0];
            return a;
        }
        double[] m = [.. Enumerable.Range(1, n).Select(i => NormalDistribution.Quantile((i - 0.375) / (n + 0.25)))];
        double m2 = m.Sum(v => v * v), u = 1 / Math.Sqrt(n), root = Math.Sqrt(m2);
        double last = Polynomial(u, 0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056) + m[^1] / root;
        int kept = n > 5 ? 2 : 1;
        double rest;
        if (n > 5)
        {
            double second = Polynomial(u, 0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633) + m[^2] / root;
            rest = Math.Sqrt((m2 - 2 * m[^1] * m[^1] - 2 * m[^2] * m[^2]) / (1 - 2 * last * last - 2 * second * second));
            (a[^2], a[1]) = (second, -second);
        }
        else rest = Math.Sqrt((m2 - 2 * m[^1] * m[^1]) / (1 - 2 * last * last));
        (a[^1], a[0]) = (last, -last);
        for (int i = kept; i < n - kept; i++) a[i] = m[i] / rest;
        return a;
    }

    private static double Polynomial(double x, params ReadOnlySpan<double> coefficients)
    {
        double sum = 0;
        for (int i = coefficients.Length - 1; i >= 0; i--) sum = sum * x + coefficients[i];
        return sum;
    }
}
