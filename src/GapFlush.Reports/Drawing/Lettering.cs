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

    /// <summary>The words, printable: without control characters, invisible marks or halves of characters.</summary>
    public string Text { get => field; init => field = PrintableText.Of(value); } = PrintableText.Of(Text);

    /// <summary>The room that the line takes, from the top of its tallest letters to the end of its descenders; the upright box round it where it is turned.</summary>
    public Box Box
    {
        get
        {
            double width = WidthMm, left = Anchor switch { Anchor.Start => 0, Anchor.Middle => -width / 2, _ => -width }, ascent = TextMeasure.AscentMm(CapitalMm);
            (double sin, double cos) = Math.SinCos(TurnDeg * Math.PI / 180);
            Box level = new(left, -ascent, width, ascent + TextMeasure.DescentMm(CapitalMm));
            return Box.Round([.. level.Corners.Select(c => new Place(Place.X + cos * c.X - sin * c.Y, Place.Y + sin * c.X + cos * c.Y))]);
        }
    }

    /// <summary>Width, mm.</summary>
    public double WidthMm => TextMeasure.WidthMm(Text, CapitalMm, Weight);
}
