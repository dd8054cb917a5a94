using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>Between which places of a section a value is taken, and along which direction.</summary>
/// <param name="From">The place on the surround's side.</param>
/// <param name="To">The place on the door's side.</param>
/// <param name="Along">Unit vector along which the value is taken; positive values go from <paramref name="From"/> to <paramref name="To"/> this way.</param>
public sealed record SectionDimension(Point2 From, Point2 To, Point2 Along)
{
    /// <summary>The value, mm.</summary>
    public double ValueMm => (To - From).Dot(Along);
}
