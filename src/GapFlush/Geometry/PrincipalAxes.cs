using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Geometry;

/// <summary>The mean of some points and the directions in which they spread, least spread first.</summary>
/// <param name="Centroid">Mean.</param>
/// <param name="Directions">Three unit vectors at right angles, least spread first.</param>
/// <param name="Spreads">Sum of squared distances from the mean along each direction, mm².</param>
public sealed record PrincipalAxes(Point3 Centroid, IReadOnlyList<Vector3> Directions, IReadOnlyList<double> Spreads)
{
    /// <summary>Finds them.</summary>
    /// <exception cref="ArgumentException">There are no points.</exception>
    public static PrincipalAxes Of(IReadOnlyCollection<Point3> points)
    {
        Point3 mean = Point3.Mean(points);
        Matrix<double> scatter = Matrix<double>.Build.Dense(3, 3);
        foreach (Point3 p in points)
        {
            Vector3 d = p - mean;
            scatter[0, 0] += d.X * d.X;
            scatter[0, 1] += d.X * d.Y;
            scatter[0, 2] += d.X * d.Z;
            scatter[1, 1] += d.Y * d.Y;
            scatter[1, 2] += d.Y * d.Z;
            scatter[2, 2] += d.Z * d.Z;
        }
        (scatter[1, 0], scatter[2, 0], scatter[2, 1]) = (scatter[0, 1], scatter[0, 2], scatter[1, 2]);
        MathNet.Numerics.LinearAlgebra.Factorization.Evd<double> evd = scatter.Evd(Symmetricity.Symmetric);
        Vector3[] axes = [.. Enumerable.Range(0, 3).Select(k => new Vector3(evd.EigenVectors[0, k], evd.EigenVectors[1, k], evd.EigenVectors[2, k]).ToUnit())];
        return new(mean, axes, [.. Enumerable.Range(0, 3).Select(k => Math.Max(0, evd.EigenValues[k].Real))]);
    }

    /// <summary>The one of two opposite vectors whose largest component is positive, so that a direction has one name.</summary>
    internal static Vector3 Named(Vector3 v)
    {
        double x = Math.Abs(v.X), y = Math.Abs(v.Y), z = Math.Abs(v.Z);
        double largest = x >= y && x >= z ? v.X : y >= z ? v.Y : v.Z;
        return largest < 0 ? -v : v;
    }

    /// <summary>Two unit vectors square to a unit vector and to each other.</summary>
    internal static (Vector3 First, Vector3 Second) Beside(Vector3 axis)
    {
        double x = Math.Abs(axis.X), y = Math.Abs(axis.Y), z = Math.Abs(axis.Z);
        Vector3 other = x <= y && x <= z ? new(1, 0, 0) : y <= z ? new(0, 1, 0) : new(0, 0, 1);
        Vector3 first = axis.Cross(other).ToUnit();
        return (first, axis.Cross(first));
    }

    /// <summary>Where an offset lies about an axis through its foot: the offset itself, its height along the axis, its distance from the axis, and the unit vector away from the axis.</summary>
    internal static (Vector3 Offset, double Height, double Distance, Vector3 Away) About(Vector3 axis, Vector3 offset)
    {
        double height = offset.Dot(axis);
        Vector3 away = offset - height * axis;
        double distance = away.Length;
        return (offset, height, distance, away / distance);
    }
}
