using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Geometry;

/// <summary>A circle fitted to points of a plane.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 3 to 6. The geometric fit starts from Taubin's and is run until its steps are rounding.</para>
/// <para>No answer (null): fewer than three points, points on one line, or a geometric fit that did not converge.</para>
/// <para>Accuracy: 1e-7 mm on full circles, 1e-5 of the radius on arcs below 60°, against 60-digit fits (FitsTests).</para>
/// <para>Source: V. Pratt, Computer Graphics 21 (1987) 145; G. Taubin, IEEE PAMI 13 (1991) 1115; N. Chernov, Circular and Linear Regression (2010),
/// ch. 5 [all from memory].</para>
/// </remarks>
/// <param name="Centre">Centre, mm.</param>
/// <param name="Radius">Radius, mm.</param>
/// <param name="SumOfSquares">Sum of squared distances from the circle, mm².</param>
/// <param name="Rms">Root of their mean, mm.</param>
/// <param name="Spread">Largest minus smallest distance from the centre, mm: the form deviation about this centre.</param>
public sealed record CircleFit(Point2 Centre, double Radius, double SumOfSquares, double Rms, double Spread)
{
    /// <summary>Fits a circle.</summary>
    public static CircleFit? Fit(IReadOnlyList<Point2> points, CircleMethod method = CircleMethod.Geometric)
    {
        if (points.Count < 3) return null;
        if (method != CircleMethod.Geometric) return Algebraic(points, method) is (Point2, double) a ? Of(points, a.Centre, a.Radius) : null;
        if (Algebraic(points, CircleMethod.Taubin) is not (Point2 centre, double radius)) return null;
        GaussNewton.Result fit = GaussNewton.Run([centre.X, centre.Y, radius], (p, r, j) => Model(points, p, r, j), points.Count, 3);
        return fit.Converged && fit.Parameters[2] > 0 ? Of(points, new(fit.Parameters[0], fit.Parameters[1]), fit.Parameters[2]) : null;
    }

    internal static CircleFit Of(IReadOnlyList<Point2> points, Point2 centre, double radius)
    {
        double sum = 0, min = double.PositiveInfinity, max = double.NegativeInfinity;
        foreach (Point2 p in points)
        {
            double d = p.DistanceTo(centre) - radius;
            sum += d * d;
            (min, max) = (Math.Min(min, d), Math.Max(max, d));
        }
        return new(centre, radius, sum, Math.Sqrt(sum / points.Count), max - min);
    }

    internal static void Model(IReadOnlyList<Point2> points, double[] p, double[] r, double[,] j)
    {
        for (int i = 0; i < points.Count; i++)
        {
            Point2 q = points[i] - new Point2(p[0], p[1]);
            double n = q.Length;
            (r[i], j[i, 0], j[i, 1], j[i, 2]) = (n - p[2], n > 0 ? -q.X / n : 0, n > 0 ? -q.Y / n : 0, -1);
        }
    }

    private static (Point2 Centre, double Radius)? Algebraic(IReadOnlyList<Point2> points, CircleMethod method)
    {
        double mx = points.Average(p => p.X), my = points.Average(p => p.Y);
        double scale = Math.Sqrt(points.Average(p => (p.X - mx) * (p.X - mx) + (p.Y - my) * (p.Y - my)));
        if (!(scale > 0)) return null;
        double[] x = [.. points.Select(p => (p.X - mx) / scale)], y = [.. points.Select(p => (p.Y - my) / scale)], z = [.. x.Zip(y, (a, b) => a * a + b * b)];
        double a, b, c, d;   // a (x^2 + y^2) + b x + c y + d = 0
        if (method == CircleMethod.Kasa)
        {
            Matrix<double> m = Matrix<double>.Build.Dense(x.Length, 3, (i, k) => k == 0 ? x[i] : k == 1 ? y[i] : 1);
            Vector<double> s = m.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin).Solve(Vector<double>.Build.Dense(x.Length, i => -z[i]));
            (a, b, c, d) = (1, s[0], s[1], s[2]);
        }
        else
        {
            // With A = Q T, minimise |A u|^2 under u'Bu = 1: largest eigenvalue of T^-T B T^-1, because the least positive ratio |Au|^2 / u'Bu is its inverse.
            Matrix<double> m = Matrix<double>.Build.Dense(x.Length, 4, (i, k) => (k == 0 ? z[i] : k == 1 ? x[i] : k == 2 ? y[i] : 1) / Math.Sqrt(x.Length));
            if (x.Length < 4) m = m.Stack(Matrix<double>.Build.Dense(4 - x.Length, 4));
            Matrix<double> t = m.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin).R;
            double least = Enumerable.Range(0, 4).Min(k => Math.Abs(t[k, k])), most = Enumerable.Range(0, 4).Max(k => Math.Abs(t[k, k]));
            // Points on one circle leave T singular: the null vector is the answer, and any constraint gives it.
            if (least < 1e-13 * most)
            {
                Vector<double> u = m.TransposeThisAndMultiply(m).Evd(Symmetricity.Symmetric).EigenVectors.Column(0);
                (a, b, c, d) = (u[0], u[1], u[2], u[3]);
            }
            else
            {
                Matrix<double> constraint = Matrix<double>.Build.Dense(4, 4);
                (constraint[1, 1], constraint[2, 2]) = (1, 1);
                if (method == CircleMethod.Pratt) constraint[0, 3] = constraint[3, 0] = -2;
                else constraint[0, 0] = 4 * z.Average();
                Matrix<double> inverse = t.Inverse();
                Matrix<double> k = inverse.Transpose() * constraint * inverse;
                MathNet.Numerics.LinearAlgebra.Factorization.Evd<double> evd = ((k + k.Transpose()) / 2).Evd(Symmetricity.Symmetric);
                Vector<double> u = inverse * evd.EigenVectors.Column(3);
                (a, b, c, d) = (u[0], u[1], u[2], u[3]);
            }
        }
        if (Math.Abs(a) <= 1e-14 * (Math.Abs(b) + Math.Abs(c))) return null;
        double cx = -b / (2 * a), cy = -c / (2 * a), square = cx * cx + cy * cy - d / a;
        return square > 0 ? (new(mx + scale * cx, my + scale * cy), scale * Math.Sqrt(square)) : null;
    }
}
