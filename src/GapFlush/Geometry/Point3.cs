namespace GapFlush.Geometry;

/// <summary>A place in the plan's axes, mm.</summary>
/// <param name="X">First coordinate, mm.</param>
/// <param name="Y">Second coordinate, mm.</param>
/// <param name="Z">Third coordinate, mm.</param>
public readonly record struct Point3(double X, double Y, double Z)
{
    /// <summary>The vector from <paramref name="b"/> to <paramref name="a"/>.</summary>
    public static Vector3 operator -(Point3 a, Point3 b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    /// <summary>The place reached from <paramref name="p"/> along <paramref name="v"/>.</summary>
    public static Point3 operator +(Point3 p, Vector3 v) => new(p.X + v.X, p.Y + v.Y, p.Z + v.Z);

    /// <summary>The place from which <paramref name="v"/> leads to <paramref name="p"/>.</summary>
    public static Point3 operator -(Point3 p, Vector3 v) => new(p.X - v.X, p.Y - v.Y, p.Z - v.Z);

    /// <summary>The vector from the origin to this place.</summary>
    public Vector3 FromOrigin => new(X, Y, Z);

    /// <summary>True when no coordinate is NaN or infinite.</summary>
    public bool IsFinite => double.IsFinite(X) && double.IsFinite(Y) && double.IsFinite(Z);

    /// <summary>Distance to another place, mm.</summary>
    public double DistanceTo(Point3 other) => (this - other).Length;

    /// <summary>The mean of some places.</summary>
    /// <exception cref="ArgumentException">There are none.</exception>
    public static Point3 Mean(IReadOnlyCollection<Point3> points)
    {
        if (points.Count == 0) throw new ArgumentException("The mean of no points is not defined.", nameof(points));
        double x = 0, y = 0, z = 0;
        foreach (Point3 p in points) (x, y, z) = (x + p.X, y + p.Y, z + p.Z);
        return new(x / points.Count, y / points.Count, z / points.Count);
    }
}
