namespace GapFlush.Reports.Drawing;

/// <summary>One line of text.</summary>
/// <param name="Place">Where the anchor of its base line stands.</param>
/// <param name="Text">The words.</param>
/// <param name="CapitalMm">Height of a capital letter, mm: the height h of ISO 3098.</param>
/// <param name="Weight">How heavy.</param>
/// <param name="Anchor">Which part stands at the place.</param>
/// <param name="Ink">Colour, or null for black.</param>
/// <param name="TurnDeg">Turned clockwise about the place, degrees.</param>
public sealed record Lettering(Place Place, string Text, double CapitalMm, Weight Weight = Weight.Regular, Anchor Anchor = Anchor.Start, Ink? Ink = null, double TurnDeg = 0) : Shape
{
    /// <summary>Least height of lettering on an A4 sheet, mm [ISO 3098-1, from memory].</summary>
    public const double LeastMm = 2.5;

    /// <summary>Width, mm.</summary>
    public double WidthMm => TextMeasure.WidthMm(Text, CapitalMm, Weight);
}
