namespace GapFlush.Reports.Drawing;

/// <summary>Shapes that belong together.</summary>
/// <param name="Id">Name in the SVG, unique on the sheet; letters, digits and hyphens.</param>
/// <param name="Title">What it is, for readers who do not see it.</param>
/// <param name="Shapes">The shapes, drawn in order.</param>
public sealed record Group(string Id, string Title, IReadOnlyList<Shape> Shapes) : Shape;
