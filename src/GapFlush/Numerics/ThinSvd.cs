namespace GapFlush.Numerics;

/// <summary>Singular values and vectors of a tall matrix, without the square matrix of left vectors that a full decomposition would build.</summary>
/// <remarks>
/// <para>Method: one-sided Jacobi rotations of the columns until all pairs are orthogonal to rounding; singular values fall in order.
/// It keeps the relative accuracy of small singular values, which the rank decisions of this library rest on. Cost grows with rows times
/// columns squared; meant for few columns.</para>
/// <para>Accuracy: a product of the factors gives the matrix back to 1e-13 of its largest entry (ThinSvdTests).</para>
/// <para>Source: M. R. Hestenes, J. SIAM 6 (1958) 51; G. H. Golub and C. F. Van Loan, Matrix Computations, section 8.6.3 [from memory].</para>
/// </remarks>
public sealed class ThinSvd
{
    private readonly double[][] _u;
    private readonly double[][] _v;

    private ThinSvd(double[][] u, double[] s, double[][] v) => (_u, Values, _v) = (u, s, v);

    /// <summary>The singular values, largest first; one for each column.</summary>
    public IReadOnlyList<double> Values { get; }

    /// <summary>Number of rows.</summary>
    public int Rows => _u.Length == 0 ? 0 : _u[0].Length;

    /// <summary>Largest over smallest singular value; infinite where the smallest is below 1e-12 of the largest, which rounding cannot tell from zero.</summary>
    public double Condition => Values.Count == 0 || Values[^1] < 1e-12 * Values[0] || Values[0] == 0 ? double.PositiveInfinity : Values[0] / Values[^1];

    /// <summary>Decomposes a matrix.</summary>
    /// <param name="matrix">Finite entries; shape (rows, columns).</param>
    public static ThinSvd Of(double[,] matrix)
    {
        int m = matrix.GetLength(0), n = matrix.GetLength(1);
        double[][] a = new double[n][], v = new double[n][];
        for (int j = 0; j < n; j++)
        {
            a[j] = new double[m];
            for (int i = 0; i < m; i++) a[j][i] = matrix[i, j];
            v[j] = new double[n];
            v[j][j] = 1;
        }
        // 60 sweeps: Jacobi converges quadratically, and 10 were the most ever seen; the cap only guards against a NaN going round for ever.
        bool turned = true;
        for (int sweep = 0; turned && sweep < 60; sweep++)
        {
            turned = false;
            for (int p = 0; p < n - 1; p++)
            {
                for (int q = p + 1; q < n; q++)
                {
                    double alpha = Dot(a[p], a[p]), beta = Dot(a[q], a[q]), gamma = Dot(a[p], a[q]);
                    if (Math.Abs(gamma) <= 1e-16 * Math.Sqrt(alpha * beta)) continue;
                    turned = true;
                    double zeta = (beta - alpha) / (2 * gamma);
                    double t = Math.CopySign(1, zeta) / (Math.Abs(zeta) + Math.Sqrt(1 + zeta * zeta));
                    double c = 1 / Math.Sqrt(1 + t * t), s = c * t;
                    Turn(a[p], a[q], c, s);
                    Turn(v[p], v[q], c, s);
                }
            }
        }
        double[] values = [.. a.Select(column => Math.Sqrt(Dot(column, column)))];
        int[] order = [.. Enumerable.Range(0, n).OrderByDescending(j => values[j])];
        double[][] u = [.. order.Select(j => values[j] > 0 ? a[j].Select(x => x / values[j]).ToArray() : a[j])];
        return new ThinSvd(u, [.. order.Select(j => values[j])], [.. order.Select(j => v[j])]);
    }

    /// <summary>How many singular values lie above a share of the largest.</summary>
    public int Rank(double relativeTolerance) => Values.Count(s => s > relativeTolerance * Values[0]);

    /// <summary>A left singular vector: one entry a row.</summary>
    public ReadOnlySpan<double> Left(int index) => _u[index];

    /// <summary>A right singular vector: one entry a column.</summary>
    public ReadOnlySpan<double> Right(int index) => _v[index];

    /// <summary>The least-squares solution for a right-hand side that uses the first <paramref name="rank"/> singular values only: of all
    /// solutions the shortest.</summary>
    public double[] Solve(ReadOnlySpan<double> rightHandSide, int rank)
    {
        double[] x = new double[_v.Length];
        for (int k = 0; k < rank; k++)
        {
            double along = Dot(_u[k], rightHandSide) / Values[k];
            for (int j = 0; j < x.Length; j++) x[j] += along * _v[k][j];
        }
        return x;
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    private static void Turn(double[] p, double[] q, double c, double s)
    {
        for (int i = 0; i < p.Length; i++) (p[i], q[i]) = (c * p[i] - s * q[i], s * p[i] + c * q[i]);
    }
}
