namespace GapFlush.Geometry;

/// <summary>A displacement or a direction in the plan's axes; mm, or no unit where it is a unit vector.</summary>
/// <param name="X">First component.</param>
/// <param name="Y">Second component.</param>
/// <param name="Z">Third component.</param>
public readonly record struct Vector3(double X, double Y, double Z)
{
    /// <summary>Sum.</summary>
    public static Vector3 operator +(Vector3 a, Vector3 b) => new(a.X + b.X, a.Y + b.Y, a.Z + b.Z);

    /// <summary>Difference.</summary>
    public static Vector3 operator -(Vector3 a, Vector3 b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    /// <summary>The opposite vector.</summary>
    public static Vector3 operator -(Vector3 a) => new(-a.X, -a.Y, -a.Z);

    /// <summary>Scaled by <paramref name="s"/>.</summary>
    public static Vector3 operator *(double s, Vector3 a) => new(s * a.X, s * a.Y, s * a.Z);

    /// <summary>Divided by <paramref name="s"/>.</summary>
    public static Vector3 operator /(Vector3 a, double s) => new(a.X / s, a.Y / s, a.Z / s);

    /// <summary>Scalar product.</summary>
    public double Dot(Vector3 b) => X * b.X + Y * b.Y + Z * b.Z;

    /// <summary>Vector product, right-handed.</summary>
    public Vector3 Cross(Vector3 b) => new(Y * b.Z - Z * b.Y, Z * b.X - X * b.Z, X * b.Y - Y * b.X);

    /// <summary>Euclidean length.</summary>
    public double Length => Math.Sqrt(Dot(this));

    /// <summary>True when no component is NaN or infinite.</summary>
    public bool IsFinite => double.IsFinite(X) && double.IsFinite(Y) && double.IsFinite(Z);

    /// <summary>The unit vector of the same direction.</summary>
    /// <exception cref="InvalidOperationException">The vector has no direction: its length is zero or not finite.</exception>
    public Vector3 ToUnit()
    {
        double length = Length;
        if (!(length > 0) || !double.IsFinite(length)) throw new InvalidOperationException(Invariant($"A vector of length {length} has no direction."));
        return this / length;
    }
}
