namespace GapFlush.Reports.Drawing;

/// <summary>The forms of the marks: the same on maps, in tables and in legends.</summary>
public static class MarkShapes
{
    /// <summary>A mark at a place.</summary>
    /// <param name="mark">What it tells.</param>
    /// <param name="at">Its middle.</param>
    /// <param name="sizeMm">Its height, mm.</param>
    public static IReadOnlyList<Shape> At(Mark mark, Place at, double sizeMm)
    {
        double r = sizeMm / 2, line = sizeMm * 0.2;
        return mark switch
        {
            Mark.Within => [new Disc(at, r * 0.62, null, Palette.Blue)],
            Mark.Undecided => [new Disc(at, r * 0.8, new Stroke(Palette.Black, line * 1.5), Palette.White), new Disc(at, r * 0.8, new Stroke(Palette.Yellow, line * 0.95))],
            Mark.Outside => Cross(at, r * 0.85, new Stroke(Palette.Red, line * 1.3)),
            Mark.Missing => [Trail.Line(at.X - r * 0.45, at.Y - r, at.X - r * 0.45, at.Y + r, new Stroke(Palette.Black, line)), Trail.Line(at.X + r * 0.45, at.Y - r, at.X + r * 0.45, at.Y + r, new Stroke(Palette.Black, line))],
            _ => [new Trail([new(at.X, at.Y - r), new(at.X + r, at.Y + r * 0.75), new(at.X - r, at.Y + r * 0.75)], new Stroke(Palette.Black, line * 0.8), Palette.White, Closed: true),
                Trail.Line(at.X, at.Y - r * 0.35, at.X, at.Y + r * 0.2, new Stroke(Palette.Black, line * 0.8)), new Disc(new(at.X, at.Y + r * 0.5), line * 0.45, null, Palette.Black)],
        };
    }

    /// <summary>The word that goes with a mark.</summary>
    public static string Word(Mark mark) => mark switch
    {
        Mark.Within => "within",
        Mark.Undecided => "undecided",
        Mark.Outside => "outside",
        Mark.Missing => "missing",
        _ => "doubt",
    };

    private static Shape[] Cross(Place at, double r, Stroke stroke) =>
        [Trail.Line(at.X - r, at.Y - r, at.X + r, at.Y + r, stroke), Trail.Line(at.X - r, at.Y + r, at.X + r, at.Y - r, stroke)];
}
