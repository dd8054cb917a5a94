using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Geometry;

/// <summary>The sphere with the least sum of squared distances from some points.</summary>
/// <remarks>
/// <para>Method: geometric least squares, started from the fit of squared radii. METHOD.md, eq. 7.</para>
/// <para>No answer (null): fewer than four points, points in one plane, or no convergence.</para>
/// <para>Accuracy: 1e-7 mm against 60-digit fits (FitsTests).</para>
/// </remarks>
/// <param name="Centre">Centre, mm.</param>
/// <param name="Radius">Radius, mm.</param>
/// <param name="SumOfSquares">Sum of squared distances from the sphere, mm².</param>
/// <param name="Rms">Root of their mean, mm.</param>
/// <param name="Spread">Largest minus smallest distance from the centre, mm.</param>
public sealed record SphereFit(Point3 Centre, double Radius, double SumOfSquares, double Rms, double Spread)
{
    /// <summary>Fits a sphere.</summary>
    public static SphereFit? Fit(IReadOnlyList<Point3> points)
    {
        if (points.Count < 4) return null;
        Point3 mean = Point3.Mean(points);
        Vector3[] q = [.. points.Select(p => p - mean)];
        Matrix<double> m = Matrix<double>.Build.Dense(q.Length, 4, (i, k) => k == 0 ? 2 * q[i].X : k == 1 ? 2 * q[i].Y : k == 2 ? 2 * q[i].Z : 1);
        Vector<double> s = m.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin).Solve(Vector<double>.Build.Dense(q.Length, i => q[i].Dot(q[i])));
        double square = s[3] + s[0] * s[0] + s[1] * s[1] + s[2] * s[2];
        if (!(square > 0) || !double.IsFinite(square)) return null;
        GaussNewton.Result fit = GaussNewton.Run([s[0], s[1], s[2], Math.Sqrt(square)], Model, q.Length, 4);
        if (!fit.Converged || !(fit.Parameters[3] > 0)) return null;
        return new(mean + new Vector3(fit.Parameters[0], fit.Parameters[1], fit.Parameters[2]), fit.Parameters[3], fit.SumOfSquares, Math.Sqrt(fit.SumOfSquares / q.Length), fit.Residuals.Max() - fit.Residuals.Min());

        void Model(double[] p, double[] r, double[,] j)
        {
            for (int i = 0; i < q.Length; i++)
            {
                Vector3 d = q[i] - new Vector3(p[0], p[1], p[2]);
                double n = d.Length;
                (r[i], j[i, 0], j[i, 1], j[i, 2], j[i, 3]) = (n - p[3], -d.X / n, -d.Y / n, -d.Z / n, -1);
            }
        }
    }
}
