namespace GapFlush.Geometry;

/// <summary>A turn followed by a shift: p goes to R p + t. The rows of R are kept as vectors; R is a proper rotation.</summary>
/// <param name="Row1">First row of R.</param>
/// <param name="Row2">Second row of R.</param>
/// <param name="Row3">Third row of R.</param>
/// <param name="Shift">t, mm.</param>
public readonly record struct RigidMotion(Vector3 Row1, Vector3 Row2, Vector3 Row3, Vector3 Shift)
{
    /// <summary>No motion.</summary>
    public static RigidMotion None { get; } = new(new(1, 0, 0), new(0, 1, 0), new(0, 0, 1), default);

    /// <summary>The place to which a point goes.</summary>
    public Point3 Of(Point3 p) => new(Row1.Dot(p.FromOrigin) + Shift.X, Row2.Dot(p.FromOrigin) + Shift.Y, Row3.Dot(p.FromOrigin) + Shift.Z);

    /// <summary>The direction to which a vector turns.</summary>
    public Vector3 Turn(Vector3 v) => new(Row1.Dot(v), Row2.Dot(v), Row3.Dot(v));

    /// <summary>The motion that undoes this one.</summary>
    public RigidMotion Inverse()
    {
        (Vector3 a, Vector3 b, Vector3 c) = (new(Row1.X, Row2.X, Row3.X), new(Row1.Y, Row2.Y, Row3.Y), new(Row1.Z, Row2.Z, Row3.Z));
        return new(a, b, c, new(-a.Dot(Shift), -b.Dot(Shift), -c.Dot(Shift)));
    }

    /// <summary>This motion after <paramref name="first"/>.</summary>
    public RigidMotion After(RigidMotion first)
    {
        RigidMotion back = first.Inverse();   // its rows are the columns of the first
        return new(Times(Row1, back), Times(Row2, back), Times(Row3, back), Turn(first.Shift) + Shift);

        static Vector3 Times(Vector3 row, RigidMotion columns) => new(row.Dot(columns.Row1), row.Dot(columns.Row2), row.Dot(columns.Row3));
    }

    /// <summary>Angle of the turn, rad, from 0 to pi.</summary>
    public double AngleRad
    {
        get
        {
            Vector3 twice = new(Row3.Y - Row2.Z, Row1.Z - Row3.X, Row2.X - Row1.Y);
            return Math.Atan2(twice.Length, Row1.X + Row2.Y + Row3.Z - 1);
        }
    }

    /// <summary>The turn as a rotation vector: axis times angle, rad; good to rounding for small turns, and up to a half turn less 1e-6 rad.</summary>
    public Vector3 RotationRad
    {
        get
        {
            Vector3 twice = new(Row3.Y - Row2.Z, Row1.Z - Row3.X, Row2.X - Row1.Y);   // axis times twice the sine
            double sine = twice.Length / 2;
            return sine > 0 ? AngleRad / (2 * sine) * twice : default;
        }
    }

    /// <summary>The turn by a rotation vector (axis times angle, rad) about a point, then a shift.</summary>
    public static RigidMotion About(Point3 centre, Vector3 rotation, Vector3 shift)
    {
        double angle = rotation.Length;
        Vector3 Turned(Vector3 v)
        {
            if (angle < 1e-300) return v;
            Vector3 k = rotation / angle;
            double half = Math.Sin(angle / 2);
            return v + Math.Sin(angle) * k.Cross(v) + 2 * half * half * k.Cross(k.Cross(v));
        }
        (Vector3 x, Vector3 y, Vector3 z) = (Turned(new(1, 0, 0)), Turned(new(0, 1, 0)), Turned(new(0, 0, 1)));
        RigidMotion turn = new(new(x.X, y.X, z.X), new(x.Y, y.Y, z.Y), new(x.Z, y.Z, z.Z), default);
        return turn with { Shift = centre.FromOrigin - turn.Turn(centre.FromOrigin) + shift };
    }
}
