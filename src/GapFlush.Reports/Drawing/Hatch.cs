namespace GapFlush.Reports.Drawing;

/// <summary>Parallel lines over an area.</summary>
/// <param name="Ink">Colour of the lines.</param>
/// <param name="SpacingMm">From line to line, mm.</param>
/// <param name="AngleDeg">Turn of the lines from level, clockwise on the page, degrees.</param>
/// <param name="WidthMm">Width of the lines, mm.</param>
public sealed record Hatch(Ink Ink, double SpacingMm, double AngleDeg, double WidthMm);
