using GapFlush.Reports.Drawing;

namespace GapFlush.Product.Tests.Drawing;

public class PrintableTextTests
{
    [Theory]
    [InlineData("D4-017", "D4-017")]
    [InlineData("a\tb\nc", "a b c")]
    [InlineData("a\u0000b\u001bc", "a\uFFFDb\uFFFDc")]
    [InlineData("ab\u202E12", "ab12")]
    [InlineData("a\uFFFFb", "a\uFFFDb")]
    [InlineData("x\u2028y", "x y")]
    [InlineData("Größe µ 𝒜", "Größe µ 𝒜")]
    public void Text_from_files_is_made_printable(string given, string expected)
    {
        Assert.Equal(expected, PrintableText.Of(given));
        Assert.Equal(expected, new Lettering(default, given, 2.5).Text);
    }

    // Apart, because half a character cannot be handed through a test's attribute.
    [Fact]
    public void Half_a_character_is_shown_as_none() => Assert.Equal("a\uFFFDb", PrintableText.Of("a\ud800b"));
}
