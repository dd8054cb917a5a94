namespace GapFlush.Reports.Drawing;

/// <summary>How a line is drawn.</summary>
/// <param name="Ink">Colour.</param>
/// <param name="WidthMm">Width, mm.</param>
/// <param name="DashMm">Lengths of dash and gap, mm, in turn; null for a full line.</param>
public sealed record Stroke(Ink Ink, double WidthMm, IReadOnlyList<double>? DashMm = null);
