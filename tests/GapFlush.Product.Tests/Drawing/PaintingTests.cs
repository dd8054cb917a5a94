using System.Buffers.Binary;
using GapFlush.Reports.Drawing;
using SkiaSharp;
using UglyToad.PdfPig;
using UglyToad.PdfPig.Content;

namespace GapFlush.Product.Tests.Drawing;

public class PaintingTests
{
    [Fact]
    public void Every_text_leaves_ink_where_the_layout_says()
    {
        foreach (Lettering text in DrawingSamples.EveryShape.Flat().OfType<Lettering>())
            Assert.InRange(DrawingSamples.Ink(DrawingSamples.EveryShape with { Shapes = [text] }, text.Box), 0.08, 0.6);
    }

    [Fact]
    public void Text_leaves_no_ink_outside_its_box()
    {
        foreach (Lettering text in DrawingSamples.EveryShape.Flat().OfType<Lettering>())
        {
            Box box = text.Box;
            Sheet covered = DrawingSamples.EveryShape with { Shapes = [text, Trail.Box(box.Left, box.Top, box.Width, box.Height, null, Palette.White)] };
            Assert.Equal(0, DrawingSamples.Ink(covered, new Box(0, 0, 100, 60)));
        }
    }

    [Fact]
    public void Every_other_shape_leaves_ink()
    {
        foreach (Shape shape in DrawingSamples.EveryShape.Flat().Where(s => s is not Lettering))
            Assert.InRange(DrawingSamples.Ink(DrawingSamples.EveryShape with { Shapes = [shape] }, new Box(0, 0, 100, 60)), 0.0005, 0.5);
    }

    [Fact]
    public void A_hatched_ring_is_hatched_and_its_hole_is_empty()
    {
        Assert.InRange(DrawingSamples.Ink(DrawingSamples.EveryShape, new Box(6, 13, 5, 18)), 0.04, 0.2);
        Assert.Equal(0, DrawingSamples.Ink(DrawingSamples.EveryShape, new Box(13, 18, 14, 8)));
    }

    [Fact]
    public void The_picture_has_the_size_asked_for_and_says_so()
    {
        byte[] png = SheetPainter.ToPng(DrawingSamples.EveryShape, 200);
        using SKBitmap picture = SKBitmap.Decode(png);
        Assert.Equal((788, 473), (picture.Width, picture.Height));
        Assert.Equal("pHYs"u8.ToArray(), png[37..41]);
        Assert.Equal(7874u, BinaryPrimitives.ReadUInt32BigEndian(png.AsSpan(41)));   // 200 per inch
    }

    [Fact]
    public void Pdf_pages_have_their_own_size_a_title_and_text_that_reads_back()
    {
        Sheet second = DrawingSamples.EveryShape with { WidthMm = 210, HeightMm = 297 };
        using PdfDocument pdf = PdfDocument.Open(SheetPainter.ToPdf([DrawingSamples.EveryShape, second], "Sample <&>"));
        Assert.Equal(2, pdf.NumberOfPages);
        Assert.Equal("Sample <&>", pdf.Information.Title);
        Page page = pdf.GetPage(1);
        // Skia rounds a page up to whole dots of its raster resolution, 150 an inch: half a point at most.
        Assert.InRange(page.Width - 100 / 25.4 * 72, -0.01, 0.5);
        Assert.InRange(pdf.GetPage(2).Height - 297 / 25.4 * 72, -0.01, 0.5);
        Assert.Contains("Serial <b>&\"' D4-017", page.Text, StringComparison.Ordinal);
        Assert.Contains("±0.35 mm ≤ Ø", page.Text, StringComparison.Ordinal);
        Assert.All(page.Letters, l => Assert.Contains("SourceSans3", l.FontName, StringComparison.Ordinal));
    }

    [Fact]
    public void A_pdf_letter_stands_where_the_layout_says()
    {
        Lettering text = DrawingSamples.EveryShape.Flat().OfType<Lettering>().First();
        using PdfDocument pdf = PdfDocument.Open(SheetPainter.ToPdf([DrawingSamples.EveryShape], "Sample <&>"));
        Letter first = pdf.GetPage(1).Letters[0];
        Assert.Equal("S", first.Value);
        Assert.InRange(first.StartBaseLine.X / 72 * 25.4, text.Place.X - 0.05, text.Place.X + 0.05);
        Assert.InRange((pdf.GetPage(1).Height - first.StartBaseLine.Y) / 72 * 25.4, text.Place.Y - 0.05, text.Place.Y + 0.05);
    }

    [Fact]
    public void The_same_sheet_gives_the_same_bytes()
    {
        Assert.Equal(SheetPainter.ToPng(DrawingSamples.EveryShape), SheetPainter.ToPng(DrawingSamples.EveryShape));
        Assert.Equal(SheetPainter.ToPdf([DrawingSamples.EveryShape], "Sample <&>"), SheetPainter.ToPdf([DrawingSamples.EveryShape], "Sample <&>"));
    }

    [Fact]
    public void A_file_of_no_pages_is_refused() => Assert.Throws<ArgumentException>(() => SheetPainter.ToPdf([], "none"));
}
