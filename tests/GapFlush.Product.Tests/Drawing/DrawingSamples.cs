using GapFlush.Reports.Drawing;
using SkiaSharp;

namespace GapFlush.Product.Tests.Drawing;

/// <summary>Sheets and helpers that several tests of the drawing engine share.</summary>
internal static class DrawingSamples
{
    /// <summary>One of every shape.</summary>
    public static Sheet EveryShape { get; } = new(100, 60, "Every <shape> & \"more\"", "One of each.",
    [
        Trail.Line(5, 5, 95, 5, new Stroke(Palette.Black, 0.5)),
        Trail.Line(5, 8, 95, 8, new Stroke(Palette.Blue, 0.35, [2, 1])),
        new Group("ring", "Ring", [new Trail(new Box(5, 12, 30, 20).Corners, new Stroke(Palette.Grey, 0.3), Palette.Wash, Closed: true, Hole: new Box(12, 17, 16, 10).Corners, Hatch: new Hatch(Palette.Grey, 2, 45, 0.2))]),
        new Disc(new(50, 22), 8, new Stroke(Palette.Red, 1), Palette.Yellow),
        new Trail([new(70, 30), new(70, 15), new(90, 15), new(90, 30), new(92, 35), new(68, 35), new(70, 30)], new Stroke(Palette.Black, 0.4), Closed: true, Curved: true),
        new Lettering(new(5, 45), "Serial <b>&\"' D4-017", 2.5),
        new Lettering(new(95, 45), "±0.35 mm ≤ Ø", 3.5, Weight.Semibold, Anchor.End, Palette.Red),
        new Lettering(new(50, 55), "turned", 2.5, Weight.Semibold, Anchor.Middle, TurnDeg: -90),
    ]);

    /// <summary>Share of dark pixels in a box of a painted sheet.</summary>
    public static double Ink(Sheet sheet, Box box)
    {
        const double Dpi = 150;
        using SKBitmap picture = SKBitmap.Decode(SheetPainter.ToPng(sheet, Dpi));
        int dark = 0, all = 0;
        for (int y = (int)(box.Top * Dpi / 25.4); y < Math.Min(picture.Height, box.Bottom * Dpi / 25.4); y++)
        {
            for (int x = (int)(box.Left * Dpi / 25.4); x < Math.Min(picture.Width, box.Right * Dpi / 25.4); x++, all++)
            {
                if (picture.GetPixel(x, y).Green < 128) dark++;
            }
        }
        return (double)dark / all;
    }
}
