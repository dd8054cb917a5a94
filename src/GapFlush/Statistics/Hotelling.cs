using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Several measures at once: does a mean vector differ from another?</summary>
/// <remarks>
/// <para>Method: T² with the pooled or own covariance, turned into an F ratio. LU in double after centring.</para>
/// <para>No answer (null): too few pieces for the number of measures, or a covariance that has no inverse.</para>
/// <para>Source: H. Hotelling, Ann. Math. Statist. 2 (1931) 360 [from memory].</para>
/// </remarks>
/// <param name="TSquared">T².</param>
/// <param name="F">The F ratio.</param>
/// <param name="NumeratorDegreesOfFreedom">Measures.</param>
/// <param name="DenominatorDegreesOfFreedom">Degrees of freedom of the denominator.</param>
public sealed record Hotelling(double TSquared, double F, int NumeratorDegreesOfFreedom, int DenominatorDegreesOfFreedom)
{
    /// <summary>p value.</summary>
    public double Probability => FisherDistribution.UpperTail(F, NumeratorDegreesOfFreedom, DenominatorDegreesOfFreedom);

    /// <summary>Two samples with pooled covariance; rows are pieces.</summary>
    public static Hotelling? Between(IReadOnlyList<double[]> first, IReadOnlyList<double[]> second)
    {
        int p = first[0].Length, n1 = first.Count, n2 = second.Count, df2 = n1 + n2 - p - 1;
        if (df2 < 1) return null;
        double[] m1 = Mean(first), m2 = Mean(second);
        double[,] scatter = Scatter(first, m1), other = Scatter(second, m2);
        for (int i = 0; i < p; i++)
        {
            for (int j = 0; j < p; j++) scatter[i, j] = (scatter[i, j] + other[i, j]) / (n1 + n2 - 2);
        }
        if (Quadratic(scatter, Difference(m1, m2)) is not double q) return null;
        double t2 = (double)n1 * n2 / (n1 + n2) * q;
        return new(t2, t2 * df2 / ((n1 + n2 - 2.0) * p), p, df2);
    }

    /// <summary>One sample against a stated mean.</summary>
    public static Hotelling? Against(IReadOnlyList<double[]> sample, double[] mean)
    {
        int p = sample[0].Length, n = sample.Count;
        if (n - p < 1) return null;
        double[] own = Mean(sample);
        if (Quadratic(Covariance(sample, own), Difference(own, mean)) is not double q) return null;
        double t2 = n * q;
        return new(t2, t2 * (n - p) / ((n - 1.0) * p), p, n - p);
    }

    /// <summary>Squared distance of each piece from the mean of its sample, in its own covariance.</summary>
    public static IReadOnlyList<double>? MahalanobisSquared(IReadOnlyList<double[]> sample)
    {
        double[] mean = Mean(sample);
        double[,] covariance = Covariance(sample, mean);
        List<double> all = [];
        foreach (double[] row in sample)
        {
            if (Quadratic(covariance, Difference(row, mean)) is not double q) return null;
            all.Add(q);
        }
        return all;
    }

    private static double[] Mean(IReadOnlyList<double[]> sample) =>
        [.. Enumerable.Range(0, sample[0].Length).Select(i => new SampleSummary([.. sample.Select(r => r[i])]).Mean)];

    private static double[] Difference(double[] a, double[] b) => [.. a.Zip(b, (x, y) => x - y)];

    private static double[,] Scatter(IReadOnlyList<double[]> sample, double[] mean)
    {
        int p = mean.Length;
        double[,] s = new double[p, p];
        foreach (double[] row in sample)
        {
            for (int i = 0; i < p; i++)
            {
                for (int j = 0; j < p; j++) s[i, j] += (row[i] - mean[i]) * (row[j] - mean[j]);
            }
        }
        return s;
    }

    private static double[,] Covariance(IReadOnlyList<double[]> sample, double[] mean)
    {
        double[,] s = Scatter(sample, mean);
        for (int i = 0; i < mean.Length; i++)
        {
            for (int j = 0; j < mean.Length; j++) s[i, j] /= sample.Count - 1;
        }
        return s;
    }

    /// <summary>d' S⁻¹ d by Cholesky; null where S is not positive definite.</summary>
    private static double? Quadratic(double[,] s, double[] d)
    {
        int p = d.Length;
        double[,] l = new double[p, p];
        double[] y = new double[p];
        double sum = 0;
        for (int i = 0; i < p; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                double v = s[i, j];
                for (int k = 0; k < j; k++) v -= l[i, k] * l[j, k];
                if (i != j) l[i, j] = v / l[j, j];
                else if (v > 1e-13 * s[i, i]) l[i, i] = Math.Sqrt(v);
                else return null;
            }
            double r = d[i];
            for (int k = 0; k < i; k++) r -= l[i, k] * y[k];
            y[i] = r / l[i, i];
            sum += y[i] * y[i];
        }
        return sum;
    }
}
