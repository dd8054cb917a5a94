namespace GapFlush.Reports.Drawing;

/// <summary>Every colour the drawings use.</summary>
/// <remarks>Source: Paul Tol, "Colour schemes", technical note SRON/EPS/TN/09-002, issue 3.2 (2021), high-contrast set: told apart by the colour-blind and in grey print [values from memory].
/// Colour never tells anything alone: a mark and a word come first.</remarks>
public static class Palette
{
    /// <summary>Lines and lettering.</summary>
    public static readonly Ink Black = new(0x1a, 0x1a, 0x1a);

    /// <summary>Secondary lettering and lines.</summary>
    public static readonly Ink Grey = new(0x55, 0x5a, 0x60);

    /// <summary>Hairlines.</summary>
    public static readonly Ink Light = new(0xb8, 0xbd, 0xc2);

    /// <summary>The ribbon's ground.</summary>
    public static readonly Ink Wash = new(0xec, 0xf0, 0xf3);

    /// <summary>Paper.</summary>
    public static readonly Ink White = new(0xff, 0xff, 0xff);

    /// <summary>Within (Tol's blue).</summary>
    public static readonly Ink Blue = new(0x00, 0x44, 0x88);

    /// <summary>Undecided (Tol's yellow).</summary>
    public static readonly Ink Yellow = new(0xdd, 0xaa, 0x33);

    /// <summary>Outside (Tol's red).</summary>
    public static readonly Ink Red = new(0xbb, 0x55, 0x66);
}
