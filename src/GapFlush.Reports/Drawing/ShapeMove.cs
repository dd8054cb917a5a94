namespace GapFlush.Reports.Drawing;

/// <summary>Puts a drawing into another: scaled, then moved.</summary>
internal static class ShapeMove
{
    /// <summary>The shape scaled about the corner and moved.</summary>
    public static Shape By(Shape shape, double scale, double x, double y)
    {
        return shape switch
        {
            Group group => group with { Shapes = [.. group.Shapes.Select(s => By(s, scale, x, y))] },
            Trail trail => trail with
            {
                Places = [.. trail.Places.Select(Moved)],
                Hole = trail.Hole is null ? null : [.. trail.Hole.Select(Moved)],
                Stroke = Scaled(trail.Stroke),
                Hatch = trail.Hatch is Hatch hatch ? hatch with { SpacingMm = hatch.SpacingMm * scale, WidthMm = hatch.WidthMm * scale } : null
            },
            Disc disc => disc with { Centre = Moved(disc.Centre), RadiusMm = disc.RadiusMm * scale, Stroke = Scaled(disc.Stroke) },
            Lettering text => text with { Place = Moved(text.Place), CapitalMm = text.CapitalMm * scale },
            _ => throw new ArgumentException($"No way to move a shape of type {shape.GetType().Name}.", nameof(shape)),
        };

        Place Moved(Place p) => new(p.X * scale + x, p.Y * scale + y);

        Stroke? Scaled(Stroke? stroke) => stroke is null ? null : stroke with { WidthMm = stroke.WidthMm * scale, DashMm = stroke.DashMm is null ? null : [.. stroke.DashMm.Select(d => d * scale)] };
    }
}
