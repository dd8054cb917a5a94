using GapFlush.Reports.Drawing;

namespace GapFlush.Product.Tests.Drawing;

public class PaletteTests
{
    [Fact]
    public void Contrast_has_the_known_ends()
    {
        Assert.Equal(21, new Ink(0, 0, 0).ContrastWith(Palette.White), 6);
        Assert.Equal(1, Palette.Red.ContrastWith(Palette.Red), 6);
        Assert.Equal(4.48, new Ink(0x77, 0x77, 0x77).ContrastWith(Palette.White), 2);   // the well-known grey that just misses 4.5
    }

    [Fact]
    public void Text_colours_read_on_paper_and_on_a_ribbon_in_grey_print()
    {
        foreach (Ink text in new[] { Palette.Black, Palette.Grey, Palette.Blue })
        {
            Assert.True(text.ContrastWith(Palette.White) >= 4.5);
            Assert.True(text.ContrastWith(Palette.Wash) >= 4.5);
        }
    }

    [Fact]
    public void The_three_hues_keep_apart_in_grey_print()
    {
        Assert.True(Palette.Blue.ContrastWith(Palette.Red) >= 2);
        Assert.True(Palette.Red.ContrastWith(Palette.Yellow) >= 2);
    }
}
