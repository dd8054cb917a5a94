namespace GapFlush.Reports.Drawing;

/// <summary>One drawing: the only description from which SVG, PNG and PDF are made.</summary>
/// <param name="WidthMm">Width of the sheet, mm.</param>
/// <param name="HeightMm">Height of the sheet, mm.</param>
/// <param name="Title">Title.</param>
/// <param name="Description">What it shows, in a sentence or two, for readers who do not see it.</param>
/// <param name="Shapes">The shapes, drawn in order.</param>
public sealed record Sheet(double WidthMm, double HeightMm, string Title, string Description, IReadOnlyList<Shape> Shapes)
{
    /// <summary>The shapes of the group of an id, opened; none where there is no such group.</summary>
    public IEnumerable<Shape> InGroup(string id)
    {
        return Groups(Shapes).FirstOrDefault(g => g.Id == id) is Group found ? (this with { Shapes = found.Shapes }).Flat() : [];

        static IEnumerable<Group> Groups(IEnumerable<Shape> shapes) => shapes.OfType<Group>().SelectMany(g => Groups(g.Shapes).Prepend(g));
    }

    /// <summary>Every shape that is no group, in drawing order.</summary>
    public IEnumerable<Shape> Flat()
    {
        return Open(Shapes);

        static IEnumerable<Shape> Open(IEnumerable<Shape> shapes) => shapes.SelectMany(s => s is Group g ? Open(g.Shapes) : [s]);
    }
}
