namespace GapFlush.Reports.Drawing;

/// <summary>A place on a sheet, mm to the right and down from the upper left corner.</summary>
/// <param name="X">To the right, mm.</param>
/// <param name="Y">Down, mm.</param>
public readonly record struct Place(double X, double Y)
{
    /// <summary>The place moved by so much.</summary>
    public static Place operator +(Place a, Place b) => new(a.X + b.X, a.Y + b.Y);

    /// <summary>The way from one place to another.</summary>
    public static Place operator -(Place a, Place b) => new(a.X - b.X, a.Y - b.Y);

    /// <summary>Scaled.</summary>
    public static Place operator *(double s, Place a) => new(s * a.X, s * a.Y);

    /// <summary>Scalar product, of two ways.</summary>
    public double Dot(Place b) => X * b.X + Y * b.Y;

    /// <summary>Distance from the corner, mm.</summary>
    public double Length => Math.Sqrt(X * X + Y * Y);
}
