namespace GapFlush.Geometry;

/// <summary>The circle in space with the least sum of squared distances from some points, such as the rim of a hole.</summary>
/// <remarks>
/// <para>Method: radial and out-of-plane distances made least together; started from the plane of the points and the circle in it. METHOD.md, eq. 9.
/// The normal's largest component is positive.</para>
/// <para>No answer (null): fewer than three points, points on one line, or no convergence.</para>
/// <para>Accuracy: 1e-7 mm against 60-digit fits (FitsTests).</para>
/// </remarks>
/// <param name="Centre">Centre.</param>
/// <param name="Normal">Unit normal of its plane.</param>
/// <param name="Radius">Radius, mm.</param>
/// <param name="SumOfSquares">Sum of squared distances from the circle, mm².</param>
public sealed record SpaceCircleFit(Point3 Centre, Vector3 Normal, double Radius, double SumOfSquares)
{
    /// <summary>Fits a circle in space.</summary>
    public static SpaceCircleFit? Fit(IReadOnlyList<Point3> points)
    {
        if (PlaneFit.Fit(points) is not PlaneFit plane) return null;
        (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(plane.Normal);
        Vector3[] q = [.. points.Select(p => p - plane.Centroid)];
        if (CircleFit.Fit([.. q.Select(v => new Point2(v.Dot(e1), v.Dot(e2)))], CircleMethod.Taubin) is not CircleFit flat) return null;
        Vector3 c = flat.Centre.X * e1 + flat.Centre.Y * e2;
        GaussNewton.Result fit = GaussNewton.Run([c.X, c.Y, c.Z, plane.Normal.X, plane.Normal.Y, plane.Normal.Z, flat.Radius], Model, 2 * q.Length, 6, Step);
        double[] p = fit.Parameters;
        return fit.Converged && p[6] > 0 ? new(plane.Centroid + new Vector3(p[0], p[1], p[2]), PrincipalAxes.Named(new(p[3], p[4], p[5])), p[6], fit.SumOfSquares) : null;

        void Model(double[] p, double[] r, double[,] j)
        {
            (Vector3 at, Vector3 axis) = (new(p[0], p[1], p[2]), new(p[3], p[4], p[5]));
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            for (int i = 0; i < q.Length; i++)
            {
                (Vector3 d, double h, double rho, Vector3 u) = PrincipalAxes.About(axis, q[i] - at);
                (r[2 * i], r[2 * i + 1]) = (rho - p[6], h);
                (j[2 * i, 0], j[2 * i, 1], j[2 * i, 2], j[2 * i, 3], j[2 * i, 4], j[2 * i, 5]) = (-u.X, -u.Y, -u.Z, -h * u.Dot(e1), -h * u.Dot(e2), -1);
                (j[2 * i + 1, 0], j[2 * i + 1, 1], j[2 * i + 1, 2], j[2 * i + 1, 3], j[2 * i + 1, 4], j[2 * i + 1, 5]) = (-axis.X, -axis.Y, -axis.Z, d.Dot(e1), d.Dot(e2), 0);
            }
        }

        static double[] Step(double[] p, double[] d)
        {
            Vector3 axis = new(p[3], p[4], p[5]);
            (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
            Vector3 turned = (axis + (d[3] * e1 + d[4] * e2)).ToUnit();
            return [p[0] + d[0], p[1] + d[1], p[2] + d[2], turned.X, turned.Y, turned.Z, p[6] + d[5]];
        }
    }
}
