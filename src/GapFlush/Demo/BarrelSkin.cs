using GapFlush.Geometry;

namespace GapFlush.Demo;

/// <summary>The port side of the Dabchick's fuselage: a barrel, round a lengthwise axis beyond the centre plane, thinner fore and aft.</summary>
/// <remarks>Coordinates on the skin: <c>x</c> is the plan's x (aft); <c>v</c> runs upwards round the section, mm at the greatest radius.
/// The starboard side is its mirror image in y.</remarks>
internal static class BarrelSkin
{
    private const double GreatestRadius = 900, GreatestAt = 2300, LengthwiseRadius = 8000, AxisY = 350, AxisZ = 600;

    /// <summary>The place on the skin.</summary>
    public static Point3 At(double x, double v)
    {
        (double r, double a) = (Radius(x), v / GreatestRadius);
        return new(x, AxisY - r * Math.Cos(a), AxisZ + r * Math.Sin(a));
    }

    /// <summary>The place on the skin square below a place near it, in its section.</summary>
    public static Point3 Under(Point3 p) => At(p.X, GreatestRadius * Math.Atan2(p.Z - AxisZ, AxisY - p.Y));

    /// <summary>Unit outward normal.</summary>
    public static Vector3 Normal(double x, double v)
    {
        double a = v / GreatestRadius;
        return new Vector3(-RadiusSlope(x), -Math.Cos(a), Math.Sin(a)).ToUnit();
    }

    /// <summary>Unit tangent of the skin curve whose direction is (dx, dv) at that place.</summary>
    public static Vector3 Tangent(double x, double v, double dx, double dv)
    {
        (double r, double slope, double a) = (Radius(x), RadiusSlope(x), v / GreatestRadius);
        Vector3 alongX = new(1, -slope * Math.Cos(a), slope * Math.Sin(a));
        Vector3 alongV = r / GreatestRadius * new Vector3(0, Math.Sin(a), Math.Cos(a));
        return (dx * alongX + dv * alongV).ToUnit();
    }

    private static double Radius(double x) => GreatestRadius - (x - GreatestAt) * (x - GreatestAt) / (2 * LengthwiseRadius);

    private static double RadiusSlope(double x) => -(x - GreatestAt) / LengthwiseRadius;
}
