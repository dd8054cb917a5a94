using SkiaSharp;

namespace GapFlush.Reports.Drawing;

/// <summary>Paints sheets: PNG for the screen, PDF for paper.</summary>
/// <remarks>Same sheets, same bytes, from run to run. Pictures of two machines may differ in a pixel's last bit.</remarks>
public static class SheetPainter
{
    private const float PointsPerMm = 72 / 25.4f;

    /// <summary>The sheet as PNG.</summary>
    /// <param name="sheet">The sheet.</param>
    /// <param name="dotsPerInch">Resolution; 150 is enough for reading on screen and printing on A4.</param>
    public static byte[] ToPng(Sheet sheet, double dotsPerInch = 150)
    {
        float scale = (float)(dotsPerInch / 25.4);
        SKImageInfo size = new((int)Math.Ceiling(sheet.WidthMm * scale), (int)Math.Ceiling(sheet.HeightMm * scale), SKColorType.Rgba8888, SKAlphaType.Opaque);
        using SKSurface surface = SKSurface.Create(size) ?? throw new InvalidOperationException($"No surface of {size.Width} by {size.Height} pixels.");
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale(scale);
        Paint(surface.Canvas, sheet);
        using SKPixmap pixels = surface.PeekPixels();
        // Fast compression: lines on white stay small, and the best level takes three times as long for a tenth less.
        using SKData data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 3)) ?? throw new InvalidOperationException("The picture could not be encoded.");
        return data.ToArray();
    }

    /// <summary>Sheets as one PDF, a page each, in their own sizes.</summary>
    public static byte[] ToPdf(IReadOnlyList<Sheet> sheets, string title)
    {
        using MemoryStream stream = new();
        using (SKDocument document = SKDocument.CreatePdf(stream, new SKDocumentPdfMetadata { Title = title, Creator = "GapFlush", RasterDpi = 150, EncodingQuality = 101 }))
        {
            foreach (Sheet sheet in sheets)
            {
                using SKCanvas canvas = document.BeginPage((float)sheet.WidthMm * PointsPerMm, (float)sheet.HeightMm * PointsPerMm);
                canvas.Scale(PointsPerMm);
                Paint(canvas, sheet);
                document.EndPage();
            }
            document.Close();
        }
        return stream.ToArray();
    }

    private static void Paint(SKCanvas canvas, Sheet sheet)
    {
        using SKPaint paint = new() { IsAntialias = true, StrokeJoin = SKStrokeJoin.Round };
        foreach (Shape shape in sheet.Flat()) Paint(canvas, paint, shape);
    }

    private static void Paint(SKCanvas canvas, SKPaint paint, Shape shape)
    {
        switch (shape)
        {
            case Trail trail:
                using (SKPath path = PathOf(trail)) Both(paint, trail.Stroke, trail.Fill, () => canvas.DrawPath(path, paint));
                break;
            case Disc disc:
                Both(paint, disc.Stroke, disc.Fill, () => canvas.DrawCircle((float)disc.Centre.X, (float)disc.Centre.Y, (float)disc.RadiusMm, paint));
                break;
            case Lettering text:
                Letter(canvas, paint, text);
                break;
            default:
                throw new ArgumentException($"No painted form for a shape of type {shape.GetType().Name}.", nameof(shape));
        }
    }

    private static void Both(SKPaint paint, Stroke? stroke, Ink? fill, Action draw)
    {
        if (fill is Ink inside)
        {
            paint.Style = SKPaintStyle.Fill;
            paint.Color = Colour(inside);
            draw();
        }
        if (stroke is null) return;
        paint.Style = SKPaintStyle.Stroke;
        paint.Color = Colour(stroke.Ink);
        paint.StrokeWidth = (float)stroke.WidthMm;
        using SKPathEffect? dash = stroke.DashMm is null ? null : SKPathEffect.CreateDash([.. stroke.DashMm.Select(d => (float)d)], 0);
        paint.PathEffect = dash;
        draw();
        paint.PathEffect = null;
    }

    private static void Letter(SKCanvas canvas, SKPaint paint, Lettering text)
    {
        paint.Style = SKPaintStyle.Fill;
        paint.Color = Colour(text.Ink ?? Palette.Black);
        using SKFont font = new(Faces.Of(text.Weight), (float)(text.CapitalMm / Faces.CapitalShare)) { Hinting = SKFontHinting.None, Subpixel = true, Edging = SKFontEdging.Antialias };
        SKTextAlign align = text.Anchor switch { Anchor.Middle => SKTextAlign.Center, Anchor.End => SKTextAlign.Right, _ => SKTextAlign.Left };
        (float x, float y) = ((float)text.Place.X, (float)text.Place.Y);
        int saved = canvas.Save();
        if (text.TurnDeg != 0) canvas.RotateDegrees((float)text.TurnDeg, x, y);
        canvas.DrawText(text.Text, x, y, align, font, paint);
        canvas.RestoreToCount(saved);
    }

    private static SKPath PathOf(Trail trail)
    {
        using SKPathBuilder builder = new();
        Run(builder, trail.Places, trail.Curved, trail.Closed);
        if (trail.Hole is not null)
        {
            Run(builder, trail.Hole, false, true);
            builder.FillType = SKPathFillType.EvenOdd;
        }
        return builder.Detach();
    }

    private static void Run(SKPathBuilder builder, IReadOnlyList<Place> places, bool curved, bool closed)
    {
        builder.MoveTo((float)places[0].X, (float)places[0].Y);
        if (curved)
        {
            for (int i = 1; i + 2 < places.Count; i += 3)
                builder.CubicTo((float)places[i].X, (float)places[i].Y, (float)places[i + 1].X, (float)places[i + 1].Y, (float)places[i + 2].X, (float)places[i + 2].Y);
        }
        else
        {
            for (int i = 1; i < places.Count; i++) builder.LineTo((float)places[i].X, (float)places[i].Y);
        }
        if (closed) builder.Close();
    }

    private static SKColor Colour(Ink ink) => new(ink.Red, ink.Green, ink.Blue);
}
