namespace GapFlush.Geometry;

/// <summary>The plane with the least sum of squared distances from some points.</summary>
/// <remarks>
/// <para>Method: the direction of least spread through the mean. METHOD.md, eq. 2. The normal's largest component is positive.</para>
/// <para>No answer (null): fewer than three points, or points on one line.</para>
/// <para>Accuracy: 1e-7 mm against 60-digit fits (FitsTests).</para>
/// </remarks>
/// <param name="Centroid">Mean of the points, which lies in the plane.</param>
/// <param name="Normal">Unit normal.</param>
/// <param name="SumOfSquares">Sum of squared distances from the plane, mm².</param>
/// <param name="Rms">Root of their mean, mm.</param>
/// <param name="Spread">Largest minus smallest signed distance, mm; not the minimum zone.</param>
public sealed record PlaneFit(Point3 Centroid, Vector3 Normal, double SumOfSquares, double Rms, double Spread)
{
    /// <summary>Fits a plane.</summary>
    public static PlaneFit? Fit(IReadOnlyCollection<Point3> points)
    {
        if (points.Count < 3) return null;
        PrincipalAxes axes = PrincipalAxes.Of(points);
        // 1e-24: distances from a line of 1e-12 of its length are rounding.
        if (!(axes.Spreads[1] > axes.Spreads[0]) || axes.Spreads[1] <= 1e-24 * axes.Spreads[2]) return null;
        Vector3 n = PrincipalAxes.Named(axes.Directions[0]);
        double sum = 0, min = double.PositiveInfinity, max = double.NegativeInfinity;
        foreach (Point3 p in points)
        {
            double d = (p - axes.Centroid).Dot(n);
            sum += d * d;
            (min, max) = (Math.Min(min, d), Math.Max(max, d));
        }
        return new(axes.Centroid, n, sum, Math.Sqrt(sum / points.Count), max - min);
    }
}
