namespace GapFlush.Geometry;

/// <summary>The cylinder with the least sum of squared distances from some points, such as a hinge bore.</summary>
/// <remarks>
/// <para>Method: geometric least squares from the best of many axis directions tried over the half sphere, so that no first guess is asked for.
/// METHOD.md, eq. 8. The axis's largest component is positive.</para>
/// <para>No answer (null): fewer than five points, or no convergence.</para>
/// <para>Accuracy: 1e-7 mm on full, 1e-5 of the radius on partial cylinders, against 60-digit fits (FitsTests).</para>
/// </remarks>
/// <param name="Point">The point of the axis nearest the mean of the points.</param>
/// <param name="Axis">Unit direction of the axis.</param>
/// <param name="Radius">Radius, mm.</param>
/// <param name="SumOfSquares">Sum of squared distances from the cylinder, mm².</param>
/// <param name="Rms">Root of their mean, mm.</param>
public sealed record CylinderFit(Point3 Point, Vector3 Axis, double Radius, double SumOfSquares, double Rms)
{
    private const int Directions = 400;   // some 7 degrees apart over the half sphere; the basin of a 10 to 1 bore is wider
    private const int Refined = 8;

    /// <summary>Fits a cylinder.</summary>
    public static CylinderFit? Fit(IReadOnlyList<Point3> points)
    {
        if (points.Count < 5) return null;
        Point3 mean = Point3.Mean(points);
        Vector3[] q = [.. points.Select(p => p - mean)];
        List<(double Sum, Vector3 Axis, Point2 Centre, double Radius)> tried = [];
        for (int i = 0; i < Directions; i++)
        {
            double z = (i + 0.5) / Directions, around = i * Math.PI * (3 - Math.Sqrt(5)), level = Math.Sqrt(1 - z * z);
            Vector3 axis = new(level * Math.Cos(around), level * Math.Sin(around), z);
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            Point2[] flat = [.. q.Select(v => new Point2(v.Dot(e1), v.Dot(e2)))];
            if (CircleFit.Fit(flat, CircleMethod.Taubin) is CircleFit circle) tried.Add((circle.SumOfSquares, axis, circle.Centre, circle.Radius));
        }
        CylinderFit? best = null;
        foreach ((double _, Vector3 axis, Point2 centre, double radius) in tried.OrderBy(t => t.Sum).Take(Refined))
        {
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            Vector3 c = centre.X * e1 + centre.Y * e2;
            GaussNewton.Result fit = GaussNewton.Run([c.X, c.Y, c.Z, axis.X, axis.Y, axis.Z, radius], Model, q.Length, 5, Step);
            double[] p = fit.Parameters;
            if (!fit.Converged || !(p[6] > 0) || (best is not null && fit.SumOfSquares >= best.SumOfSquares)) continue;
            (Vector3 at, Vector3 along) = (new(p[0], p[1], p[2]), new(p[3], p[4], p[5]));
            best = new(mean + (at - at.Dot(along) * along), PrincipalAxes.Named(along), p[6], fit.SumOfSquares, Math.Sqrt(fit.SumOfSquares / q.Length));
        }
        return best;

        void Model(double[] p, double[] r, double[,] j)
        {
            (Vector3 at, Vector3 axis) = (new(p[0], p[1], p[2]), new(p[3], p[4], p[5]));
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            for (int i = 0; i < q.Length; i++)
            {
                (_, double h, double rho, Vector3 u) = PrincipalAxes.About(axis, q[i] - at);
                r[i] = rho - p[6];
                (j[i, 0], j[i, 1], j[i, 2], j[i, 3], j[i, 4]) = (-u.Dot(e1), -u.Dot(e2), -h * u.Dot(e1), -h * u.Dot(e2), -1);
            }
        }

        static double[] Step(double[] p, double[] d)
        {
            Vector3 axis = new(p[3], p[4], p[5]);
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            Vector3 at = new Vector3(p[0], p[1], p[2]) + (d[0] * e1 + d[1] * e2), turned = (axis + (d[2] * e1 + d[3] * e2)).ToUnit();
            return [at.X, at.Y, at.Z, turned.X, turned.Y, turned.Z, p[6] + d[4]];
        }
    }
}
