namespace GapFlush.Geometry;

/// <summary>A place, or a displacement from one place to another, in a plane; mm.</summary>
/// <param name="X">First coordinate, mm.</param>
/// <param name="Y">Second coordinate, mm.</param>
public readonly record struct Point2(double X, double Y)
{
    /// <summary>Sum.</summary>
    public static Point2 operator +(Point2 a, Point2 b) => new(a.X + b.X, a.Y + b.Y);

    /// <summary>Difference.</summary>
    public static Point2 operator -(Point2 a, Point2 b) => new(a.X - b.X, a.Y - b.Y);

    /// <summary>Scaled by <paramref name="s"/>.</summary>
    public static Point2 operator *(double s, Point2 a) => new(s * a.X, s * a.Y);

    /// <summary>Scalar product.</summary>
    public double Dot(Point2 b) => X * b.X + Y * b.Y;

    /// <summary>Third component of the vector product: positive where <paramref name="b"/> lies counter-clockwise of this.</summary>
    public double Cross(Point2 b) => X * b.Y - Y * b.X;

    /// <summary>Euclidean length.</summary>
    public double Length => Math.Sqrt(X * X + Y * Y);

    /// <summary>A quarter turn counter-clockwise.</summary>
    public Point2 Turned() => new(-Y, X);   // a method: a record prints its properties, and this one would print itself

    /// <summary>Turned counter-clockwise by an angle, rad.</summary>
    public Point2 TurnedBy(double rad)
    {
        (double sin, double cos) = Math.SinCos(rad);
        return new(cos * X - sin * Y, sin * X + cos * Y);
    }

    /// <summary>Distance to another place, mm.</summary>
    public double DistanceTo(Point2 other) => (this - other).Length;
}
