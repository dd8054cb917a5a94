using System.Xml.Linq;
using GapFlush.Reports.Drawing;

namespace GapFlush.Product.Tests.Drawing;

public class SvgWriterTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void The_file_reads_as_it_was_accepted() =>
        Golden.Holds("every-shape.svg", SvgWriter.Write(DrawingSamples.EveryShape, embedFonts: false));

    [Fact]
    public void Text_from_files_is_escaped_and_comes_back_whole()
    {
        XDocument svg = XDocument.Parse(SvgWriter.Write(DrawingSamples.EveryShape));
        Assert.Contains("Serial <b>&\"' D4-017", svg.Descendants(Svg + "text").Select(t => t.Value));
        Assert.Equal("Every <shape> & \"more\"", svg.Root!.Element(Svg + "title")!.Value);
        Assert.Empty(svg.Descendants(Svg + "b"));
        Assert.Empty(svg.Descendants(Svg + "script"));
        Assert.Equal("title desc", svg.Root.Attribute("aria-labelledby")!.Value);
    }

    [Fact]
    public void Fonts_come_along_only_where_asked()
    {
        Assert.Contains("font-weight:400;src:url(data:font/woff2;base64,d09GMg", SvgWriter.Write(DrawingSamples.EveryShape), StringComparison.Ordinal);   // d09GMg: "wOF2"
        Assert.DoesNotContain("@font-face", SvgWriter.Write(DrawingSamples.EveryShape, embedFonts: false), StringComparison.Ordinal);
    }

    [Fact]
    public void A_prefix_keeps_the_ids_of_two_drawings_in_one_page_apart()
    {
        XElement svg = XElement.Parse(SvgWriter.Write(DrawingSamples.EveryShape, embedFonts: false, "p1-"));
        string[] ids = [.. svg.DescendantsAndSelf().Attributes("id").Select(a => a.Value)];
        Assert.All(ids, id => Assert.StartsWith("p1-", id, StringComparison.Ordinal));
        Assert.Contains("p1-ring", ids);
        Assert.Contains("url(#p1-hatch-1)", svg.Descendants(Svg + "path").Select(p => (string?)p.Attribute("fill")));
    }

    [Fact]
    public void The_same_sheet_gives_the_same_bytes() => Assert.Equal(SvgWriter.Write(DrawingSamples.EveryShape), SvgWriter.Write(DrawingSamples.EveryShape));
}
