using System.Buffers.Binary;
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
        // After the signature (8 bytes) and the IHDR chunk (25) the standard, ISO/IEC 15948, lets a pHYs chunk stand.
        ReadOnlySpan<byte> picture = data.AsSpan();
        return [.. picture[..33], .. PixelsPerMetre(dotsPerInch), .. picture[33..]];
    }

    /// <summary>Sheets as one PDF, a page each, in their own sizes.</summary>
    /// <exception cref="ArgumentException">There are no sheets.</exception>
    public static byte[] ToPdf(IReadOnlyList<Sheet> sheets, string title)
    {
        if (sheets.Count == 0) throw new ArgumentException("A PDF has at least one page.", nameof(sheets));
        using MemoryStream stream = new();
        using (SKDocument document = SKDocument.CreatePdf(stream, new SKDocumentPdfMetadata { Title = PrintableText.Of(title), Creator = "GapFlush", RasterDpi = 150, EncodingQuality = 101 }))
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
        // One font for each weight and height on the sheet: making one for every line of text costs more than drawing it.
        Dictionary<(Weight, double), SKFont> fonts = [];
        foreach (Shape shape in sheet.Flat()) Paint(canvas, paint, fonts, shape);
        foreach (SKFont font in fonts.Values) font.Dispose();
    }

    private static void Paint(SKCanvas canvas, SKPaint paint, Dictionary<(Weight, double), SKFont> fonts, Shape shape)
    {
        switch (shape)
        {
            case Trail trail:
                using (SKPath path = PathOf(trail))
                {
                    if (trail.Hatch is not null)
                    {
                        Both(paint, null, trail.Fill, () => canvas.DrawPath(path, paint));
                        int saved = canvas.Save();
                        canvas.ClipPath(path, SKClipOperation.Intersect, antialias: true);
                        PaintHatch(canvas, path.Bounds, trail.Hatch, paint);
                        canvas.RestoreToCount(saved);
                    }
                    Both(paint, trail.Stroke, trail.Hatch is null ? trail.Fill : null, () => canvas.DrawPath(path, paint));
                }
                break;
            case Disc disc:
                Both(paint, disc.Stroke, disc.Fill, () => canvas.DrawCircle((float)disc.Centre.X, (float)disc.Centre.Y, (float)disc.RadiusMm, paint));
                break;
            case Lettering text:
                Letter(canvas, paint, fonts, text);
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

    private static void Letter(SKCanvas canvas, SKPaint paint, Dictionary<(Weight, double), SKFont> fonts, Lettering text)
    {
        paint.Style = SKPaintStyle.Fill;
        paint.Color = Colour(text.Ink ?? Palette.Black);
        if (!fonts.TryGetValue((text.Weight, text.CapitalMm), out SKFont? font))
        {
            font = new(Faces.Of(text.Weight), (float)(text.CapitalMm / Faces.CapitalShare)) { Hinting = SKFontHinting.None, LinearMetrics = true, Subpixel = true, Edging = SKFontEdging.Antialias };
            fonts[(text.Weight, text.CapitalMm)] = font;
        }
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

    // Lines through the origin of the sheet and every spacing from it, as an SVG pattern lays them, so that both back ends agree.
    private static void PaintHatch(SKCanvas canvas, SKRect bounds, Hatch hatch, SKPaint paint)
    {
        (double sin, double cos) = Math.SinCos(hatch.AngleDeg * Math.PI / 180);
        Place along = new(cos, sin), across = new(-sin, cos), middle = new(bounds.MidX, bounds.MidY);
        double reach = Math.Sqrt(bounds.Width * bounds.Width + bounds.Height * bounds.Height) / 2 + hatch.SpacingMm;
        long first = (long)Math.Floor((middle.Dot(across) - reach) / hatch.SpacingMm), last = (long)Math.Ceiling((middle.Dot(across) + reach) / hatch.SpacingMm);
        paint.Style = SKPaintStyle.Stroke;
        paint.Color = Colour(hatch.Ink);
        paint.StrokeWidth = (float)hatch.WidthMm;
        for (long i = first; i <= last; i++)
        {
            Place foot = middle + (i * hatch.SpacingMm + hatch.WidthMm / 2 - middle.Dot(across)) * across, from = foot - reach * along, to = foot + reach * along;
            canvas.DrawLine((float)from.X, (float)from.Y, (float)to.X, (float)to.Y, paint);
        }
    }

    // The chunk that tells a program how large to print the picture.
    private static byte[] PixelsPerMetre(double dotsPerInch)
    {
        byte[] chunk = new byte[21];
        uint perMetre = (uint)Math.Round(dotsPerInch / 0.0254);
        BinaryPrimitives.WriteUInt32BigEndian(chunk, 9);
        "pHYs"u8.CopyTo(chunk.AsSpan(4));
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(8), perMetre);
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(12), perMetre);
        chunk[16] = 1;
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(17), Crc32(chunk.AsSpan(4, 13)));
        return chunk;
    }

    // CRC-32 of ISO/IEC 15948 annex D, bit by bit: thirteen bytes need no table.
    private static uint Crc32(ReadOnlySpan<byte> bytes)
    {
        uint crc = uint.MaxValue;
        foreach (byte b in bytes)
        {
            crc ^= b;
            for (int bit = 0; bit < 8; bit++) crc = (crc & 1) != 0 ? 0xEDB88320 ^ (crc >> 1) : crc >> 1;
        }
        return ~crc;
    }

    private static SKColor Colour(Ink ink) => new(ink.Red, ink.Green, ink.Blue);
}
