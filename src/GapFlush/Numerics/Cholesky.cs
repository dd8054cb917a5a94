namespace GapFlush.Numerics;

/// <summary>Small symmetric positive definite systems, without the allocations and calls of a general library; for inner loops.</summary>
/// <remarks>Method: Cholesky factors L L' of the lower triangle. A matrix that is not positive definite to rounding has none (null).</remarks>
internal static class Cholesky
{
    /// <summary>The lower factor, or null.</summary>
    public static double[,]? Factor(double[,] a)
    {
        int n = a.GetLength(0);
        double[,] l = new double[n, n];
        for (int j = 0; j < n; j++)
        {
            double d = a[j, j];
            for (int k = 0; k < j; k++) d -= l[j, k] * l[j, k];
            if (!(d > 1e-14 * a[j, j]) || !double.IsFinite(d)) return null;
            l[j, j] = Math.Sqrt(d);
            for (int i = j + 1; i < n; i++)
            {
                double v = a[i, j];
                for (int k = 0; k < j; k++) v -= l[i, k] * l[j, k];
                l[i, j] = v / l[j, j];
            }
        }
        return l;
    }

    /// <summary>Solves L L' x = b.</summary>
    public static double[] Solve(double[,] l, double[] b)
    {
        int n = b.Length;
        double[] x = (double[])b.Clone();
        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k < i; k++) x[i] -= l[i, k] * x[k];
            x[i] /= l[i, i];
        }
        for (int i = n - 1; i >= 0; i--)
        {
            for (int k = i + 1; k < n; k++) x[i] -= l[k, i] * x[k];
            x[i] /= l[i, i];
        }
        return x;
    }

    /// <summary>The inverse of L L'.</summary>
    public static double[,] Inverse(double[,] l)
    {
        int n = l.GetLength(0);
        double[,] inverse = new double[n, n];
        for (int j = 0; j < n; j++)
        {
            double[] unit = new double[n];
            unit[j] = 1;
            double[] column = Solve(l, unit);
            for (int i = 0; i < n; i++) inverse[i, j] = column[i];
        }
        return inverse;
    }

    /// <summary>B M B for symmetric B.</summary>
    public static double[,] Sandwich(double[,] b, double[,] m)
    {
        int n = b.GetLength(0);
        double[,] half = Times(m, b), whole = Times(b, half);
        return whole;

        double[,] Times(double[,] p, double[,] q)
        {
            double[,] r = new double[n, n];
            for (int i = 0; i < n; i++)
                for (int k = 0; k < n; k++)
                    for (int j = 0; j < n; j++) r[i, j] += p[i, k] * q[k, j];
            return r;
        }
    }

    /// <summary>g' C g.</summary>
    public static double Quadratic(double[,] c, double[] g)
    {
        double sum = 0;
        for (int i = 0; i < g.Length; i++)
            for (int j = 0; j < g.Length; j++) sum += g[i] * c[i, j] * g[j];
        return sum;
    }
}
