namespace GapFlush.Reports.Drawing;

/// <summary>A colour of the printed sheet.</summary>
/// <param name="Red">0 to 255.</param>
/// <param name="Green">0 to 255.</param>
/// <param name="Blue">0 to 255.</param>
public readonly record struct Ink(byte Red, byte Green, byte Blue)
{
    /// <summary>As written in SVG and CSS.</summary>
    public string Hex => $"#{Red:x2}{Green:x2}{Blue:x2}";

    /// <summary>Relative luminance of the colour in grey print, 0 black to 1 white (weights of ITU-R BT.709 on linear light).</summary>
    public double Luminance => 0.2126 * Linear(Red) + 0.7152 * Linear(Green) + 0.0722 * Linear(Blue);

    /// <summary>Contrast of two colours, 1 to 21; lettering should reach 4.5 and marks 3.</summary>
    /// <remarks>Source: W3C, Web Content Accessibility Guidelines 2.1, success criteria 1.4.3 and 1.4.11.</remarks>
    public double ContrastWith(Ink other) => (Math.Max(Luminance, other.Luminance) + 0.05) / (Math.Min(Luminance, other.Luminance) + 0.05);

    private static double Linear(byte channel)
    {
        double c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }
}
