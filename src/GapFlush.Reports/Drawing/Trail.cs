namespace GapFlush.Reports.Drawing;

/// <summary>A line through places, straight or as cubic curves, open or closed, drawn or filled or both.</summary>
/// <param name="Places">For straight lines the corners; for curves first a place, then three for each cubic (two handles, then the place).</param>
/// <param name="Stroke">How the line is drawn, or null.</param>
/// <param name="Fill">Colour inside, or null.</param>
/// <param name="Closed">True where the end joins the start.</param>
/// <param name="Curved">True where <paramref name="Places"/> are cubics.</param>
/// <param name="Hole">A second closed run of corners that stays unfilled, or null.</param>
/// <param name="Hatch">Lines over the inside, or null.</param>
public sealed record Trail(IReadOnlyList<Place> Places, Stroke? Stroke, Ink? Fill = null, bool Closed = false, bool Curved = false, IReadOnlyList<Place>? Hole = null, Hatch? Hatch = null) : Shape
{
    /// <summary>A straight line.</summary>
    public static Trail Line(double x1, double y1, double x2, double y2, Stroke stroke) => new([new(x1, y1), new(x2, y2)], stroke);

    /// <summary>A rectangle.</summary>
    public static Trail Box(double x, double y, double width, double height, Stroke? stroke, Ink? fill = null) =>
        new([new(x, y), new(x + width, y), new(x + width, y + height), new(x, y + height)], stroke, fill, Closed: true);
}
