namespace GapFlush.Drainage;

/// <summary>A slope in the ways in which people state one: rise over horizontal run, never over the length along the channel.</summary>
/// <remarks>Accuracy: all forms agree with 40-digit arithmetic to 1e-14 relative (reference group <c>slope</c>). METHOD.md, eq. 2.</remarks>
/// <param name="Ratio">Fall over horizontal run, no unit; positive downhill.</param>
public readonly record struct Slope(double Ratio)
{
    /// <summary>Per cent: 1 % falls 10 mm in 1 m.</summary>
    public double Percent => 100 * Ratio;

    /// <summary>Millimetres per metre.</summary>
    public double MmPerM => 1000 * Ratio;

    /// <summary>Angle to the horizontal, degrees.</summary>
    public double Degrees => double.RadiansToDegrees(Math.Atan(Ratio));

    /// <summary>The n of "one in n"; null when level.</summary>
    public double? OneInN => Ratio == 0 ? null : 1 / Ratio;

    /// <summary>Inches per foot.</summary>
    public double InchesPerFoot => 12 * Ratio;

    /// <summary>What comes out, in per cent, when the run is taken along the channel by mistake: the sine in place of the tangent.</summary>
    public double PercentAlongChannel => 100 * Ratio / Math.Sqrt(1 + Ratio * Ratio);

    /// <summary>From per cent.</summary>
    public static Slope FromPercent(double percent) => new(percent / 100);

    /// <summary>From millimetres per metre.</summary>
    public static Slope FromMmPerM(double mmPerM) => new(mmPerM / 1000);

    /// <summary>From an angle in degrees.</summary>
    public static Slope FromDegrees(double degrees) => new(Math.Tan(double.DegreesToRadians(degrees)));

    /// <summary>From the n of "one in n".</summary>
    public static Slope FromOneInN(double n) => new(1 / n);

    /// <summary>From inches per foot.</summary>
    public static Slope FromInchesPerFoot(double inches) => new(inches / 12);
}
