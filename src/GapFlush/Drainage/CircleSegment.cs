namespace GapFlush.Drainage;

/// <summary>The part of a circle below a level.</summary>
internal static class CircleSegment
{
    public static double Area(double radius, double depth)
    {
        double angle = Angle(radius, depth);
        return radius * radius * (angle - Math.Sin(angle)) / 2;
    }

    public static double Arc(double radius, double depth) => radius * Angle(radius, depth);

    // From the depth, not from the angle: exact to rounding where the water is shallow.
    public static double Chord(double radius, double depth) => 2 * Math.Sqrt(Math.Max(0, depth * (2 * radius - depth)));

    public static double FirstMoment(double radius, double depth)
    {
        double chord = Chord(radius, depth);
        return chord * chord * chord / 12 - Area(radius, depth) * (radius - depth);
    }

    // 2 acos(1 - depth / radius) loses half the digits where the water is shallow; the half-angle sine does not.
    private static double Angle(double radius, double depth) => 4 * Math.Asin(Math.Sqrt(Math.Clamp(depth / (2 * radius), 0, 1)));
}
