using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Sections;

namespace GapFlush.Reports.Sections;

/// <summary>Drawings of the sections of a scanned door: one on a sheet of its own, or six together.</summary>
public static class SectionSheet
{
    private const double Margin = 10, Gutter = 5, Capital = Lettering.LeastMm;

    /// <summary>What the two figures of a side mean.</summary>
    public const string SidesMean = "Edge/face: each side's own place against nominal, mm; edge along u (surround to door), face outward.";

    /// <summary>How many sections a page holds.</summary>
    public const int PerPage = 6;

    /// <summary>One section on a sheet.</summary>
    public static Sheet One(FitPlan plan, DoorScan scan, SectionPicture picture)
    {
        SectionPanelContent content = SectionPanelContent.Of(plan, scan, picture);
        const double width = 200, height = 137;
        List<Shape> shapes = [Trail.Box(0, 0, width, height, null, Palette.White), .. SectionPanel.Draw(content, new(Margin, 8, width - 2 * Margin, height - 31))];
        Legend(shapes, height - 17, Margin);
        shapes.Add(new Lettering(new(Margin, height - 11), SidesMean, Capital, Ink: Palette.Grey));
        shapes.Add(new Lettering(new(Margin, height - 5), TextMeasure.Fit(TitleBlock.Caution, width - 2 * Margin, Capital), Capital, Ink: Palette.Grey));
        return new(width, height, content.Title, Describe(content), shapes);
    }

    /// <summary>Up to six sections, two beside each other, as wide as the text of a report.</summary>
    /// <exception cref="ArgumentException">None, or more than a page holds.</exception>
    public static Sheet Page(FitPlan plan, DoorScan scan, string title, IReadOnlyList<SectionPicture> pictures)
    {
        if (pictures.Count is 0 or > PerPage) throw new ArgumentException(Invariant($"A page holds 1 to {PerPage} sections, not {pictures.Count}."), nameof(pictures));
        const double width = 176, each = 73, head = 3, panel = (width - Gutter) / 2;
        double height = (pictures.Count + 1) / 2 * each + head + 8;
        List<Shape> shapes = [];
        for (int i = 0; i < pictures.Count; i++)
        {
            SectionPanelContent content = SectionPanelContent.Of(plan, scan, pictures[i]);
            shapes.Add(new Group(Invariant($"section-{i + 1}"), content.Title, SectionPanel.Draw(content, new(i % 2 * (panel + Gutter), head + i / 2 * each, panel, each - 5))));
        }
        Legend(shapes, height - 3, 0);
        return new(width, height, title, $"Cross-sections of the seam, surround at the left and door at the right: {string.Join("; ", pictures.Select(p => Describe(SectionPanelContent.Of(plan, scan, p))))}", shapes);
    }

    private static string Describe(SectionPanelContent content) => content.Missing.Length > 0 && content.Picture.Surround.Count == 0 ? $"{content.Title}: {content.Missing}" : $"{content.Title}: {content.GapWords}, {content.FlushWords} mm";

    private static void Legend(List<Shape> shapes, double y, double left)
    {
        double x = left;
        Item(4, new Disc(new(x + 1, y - 1.2), 0.28, null, Palette.Blue), "point");
        Item(4, new Trail([new(x, y - 1.9), new(x + 1.3, y - 0.6)], new(Palette.Red, 0.2)), "set aside", new Trail([new(x, y - 0.6), new(x + 1.3, y - 1.9)], new(Palette.Red, 0.2)));
        Item(9, Trail.Line(x, y - 1.2, x + 7, y - 1.2, new(Palette.Black, 0.45)), "fitted outline");
        Item(9, Trail.Line(x, y - 1.2, x + 7, y - 1.2, new(Palette.Black, 0.3, [0.6, 0.7])), "no points there");
        Item(9, Trail.Line(x, y - 1.2, x + 7, y - 1.2, new(Palette.Grey, 0.18, [1.6, 1.1])), "nominal");
        Item(9, Trail.Line(x, y - 1.2, x + 7, y - 1.2, new(Palette.Black, 0.18, [3, 0.8, 0.5, 0.8])), "skin carried on");

        void Item(double before, Shape shape, string words, Shape? also = null)
        {
            shapes.Add(shape);
            if (also is not null) shapes.Add(also);
            Lettering text = new(new(x + before - 1.2, y), words, Capital);
            shapes.Add(text);
            x += before + text.WidthMm + 5;
        }
    }
}
