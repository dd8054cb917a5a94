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

    /// <summary>Puts the lower factor over a matrix that is held row by row; false where there is none. What lies above the diagonal is left alone.</summary>
    public static bool Factor(Span<double> a, int n)
    {
        for (int j = 0; j < n; j++)
        {
            Span<double> rowJ = a.Slice(j * n, n);
            double whole = rowJ[j], d = whole;
            for (int k = 0; k < j; k++) d -= rowJ[k] * rowJ[k];
            if (!(d > 1e-14 * whole) || !double.IsFinite(d)) return false;
            rowJ[j] = d = Math.Sqrt(d);
            double inverse = 1 / d;
            for (int i = j + 1; i < n; i++)
            {
                Span<double> rowI = a.Slice(i * n, n);
                double v = rowI[j];
                for (int k = 0; k < j; k++) v -= rowI[k] * rowJ[k];
                rowI[j] = v * inverse;
            }
        }
        return true;
    }

    /// <summary>Solves L L' x = b over b, with the factor held row by row.</summary>
    public static void Solve(ReadOnlySpan<double> l, Span<double> b)
    {
        int n = b.Length;
        for (int i = 0; i < n; i++)
        {
            ReadOnlySpan<double> row = l.Slice(i * n, n);
            double v = b[i];
            for (int k = 0; k < i; k++) v -= row[k] * b[k];
            b[i] = v / row[i];
        }
        for (int i = n - 1; i >= 0; i--)
        {
            double v = b[i] /= l[i * n + i];
            for (int k = 0; k < i; k++) b[k] -= v * l[i * n + k];
        }
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
