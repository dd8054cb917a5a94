using GapFlush.Reports.Drawing;
using SkiaSharp;

namespace GapFlush.Product.Tests.Drawing;

public class TextMeasureTests
{
    [Theory]
    [InlineData(Weight.Regular)]
    [InlineData(Weight.Semibold)]
    public void Capitals_are_as_high_as_asked_or_a_hair_higher(Weight weight)
    {
        using SKFont font = new(Faces.Of(weight), 1000) { Hinting = SKFontHinting.None };
        using SKPath outline = font.GetTextPath("H", SKPoint.Empty);
        Assert.InRange(-outline.TightBounds.Top / 1000, Faces.CapitalShare, Faces.CapitalShare + 0.005);
    }

    [Fact]
    public void Ascent_and_descent_hold_every_letter_that_is_printed()
    {
        foreach (Weight weight in Enum.GetValues<Weight>())
        {
            using SKFont font = new(Faces.Of(weight), 1000) { Hinting = SKFontHinting.None };
            using SKPath outline = font.GetTextPath("ABCXYZabdfghjklpqy0123456789()[]/,;±°µ≤≥", SKPoint.Empty);
            SKRect box = outline.TightBounds;
            Assert.InRange(-box.Top, 600, 1000 * TextMeasure.AscentMm(Faces.CapitalShare));
            Assert.InRange(box.Bottom, 100, 1000 * TextMeasure.DescentMm(Faces.CapitalShare));
        }
    }

    [Theory]
    [InlineData("4.20 ±0.35 mm, outside by 0.12")]
    [InlineData("AVAToy")]
    public void Width_is_what_is_painted(string text)
    {
        using SKFont font = new(Faces.Of(Weight.Semibold), 100) { Hinting = SKFontHinting.None, LinearMetrics = true, Subpixel = true };
        double expected = font.MeasureText(text) / 100 * 2.5 / Faces.CapitalShare;
        Assert.InRange(TextMeasure.WidthMm(text, 2.5, Weight.Semibold), expected - 0.01, expected + 0.01);
    }

    [Fact]
    public void Wrap_keeps_every_word_and_no_line_is_too_wide()
    {
        const string Text = "Measuring aid. Door security, water ingress and airworthiness are judged on approved data by licensed staff.";
        IReadOnlyList<string> lines = TextMeasure.Wrap(Text, 40, 2.5);
        Assert.True(lines.Count > 3);
        Assert.All(lines, l => Assert.InRange(TextMeasure.WidthMm(l, 2.5), 0, 40));
        Assert.Equal(Text, string.Join(' ', lines));
    }

    [Fact]
    public void Wrap_breaks_a_word_only_where_it_is_too_wide_alone()
    {
        IReadOnlyList<string> lines = TextMeasure.Wrap("D4-" + new string('8', 60), 30, 2.5);
        Assert.All(lines, l => Assert.InRange(TextMeasure.WidthMm(l, 2.5), 0, 30));
        Assert.Equal("D4-" + new string('8', 60), string.Concat(lines));
        Assert.Equal(["", "a", "", "b"], TextMeasure.Wrap("\na\r\n\nb", 30, 2.5));
    }

    [Fact]
    public void A_width_narrower_than_a_letter_still_ends() => Assert.Equal(["W", "W", "W"], TextMeasure.Wrap("WWW", 0.1, 2.5));

    [Fact]
    public void Fit_marks_what_it_cut()
    {
        string cut = TextMeasure.Fit("a very long serial that does not fit", 30, 2.5);
        Assert.EndsWith("…", cut, StringComparison.Ordinal);
        Assert.InRange(TextMeasure.WidthMm(cut, 2.5), 20, 30);
        Assert.Equal("short", TextMeasure.Fit("short", 30, 2.5));
    }

    [Fact]
    public void A_text_knows_its_box()
    {
        Box level = new Lettering(new(50, 50), "17", 2.5, Anchor: Anchor.Middle).Box, turned = new Lettering(new(50, 50), "17", 2.5, Anchor: Anchor.Middle, TurnDeg: 90).Box;
        Assert.Equal(50, level.Centre.X, 9);
        Assert.Equal(level.Width, turned.Height, 9);
        Assert.Equal(level.Height, turned.Width, 9);
        Assert.InRange(50 - level.Top, 2.5, 3);
    }
}
