using System.Text.RegularExpressions;
using System.Xml.Linq;
using GapFlush.Decisions;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Product.Tests.Drawing;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using UglyToad.PdfPig;

namespace GapFlush.Product.Tests.Maps;

public partial class DoorMapTests
{
    public static TheoryData<string, int> Situations()
    {
        TheoryData<string, int> data = [];
        foreach (string shape in SyntheticDoors.Shapes)
        {
            foreach (int stations in new[] { 12, 48, 120 }) data.Add(shape, stations);
        }
        return data;
    }

    [Theory]
    [MemberData(nameof(Situations))]
    public void Labels_lie_on_nothing_tell_every_station_and_are_legible(string shape, int stations)
    {
        Door door = SyntheticDoors.Make(shape, stations);
        double[] shares = stations > 100 ? [0.1, 0.4] : [0, 0.1, 0.4, 1];
        List<string> wrong = [];
        for (int i = 0; i < shares.Length; i++)
        {
            DoorMapContent content = SyntheticDoors.Content(door, shares[i], new SeededRandom((ulong)(stations * 10 + i)), oneSided: shares[i] == 0.4);
            Sheet sheet = DoorMap.Layout(content);
            wrong.AddRange(Overlaps(sheet).Concat(Untold(sheet, content)).Concat(Illegible(sheet)).Select(w => Invariant($"share {shares[i]}: {w}")));
        }
        Assert.Empty(wrong);
    }

    [Theory]
    [InlineData("trapezium", 48)]
    [InlineData("small", 48)]
    [InlineData("elongated", 24)]
    [InlineData("waisted", 48)]
    public void A_third_ribbon_for_the_seal_keeps_clear_of_the_others_and_its_labels_too(string shape, int stations)
    {
        DoorMapContent content = SyntheticDoors.Content(SyntheticDoors.Make(shape, stations), 0.1, new SeededRandom(5), seal: true);
        Sheet sheet = DoorMap.Layout(content);
        Assert.Empty(Overlaps(sheet).Concat(Untold(sheet, content)).Concat(Illegible(sheet)));
        Assert.Contains(sheet.InGroup("title-block").OfType<Lettering>(), t => t.Text.StartsWith("Innermost: seal compression", StringComparison.Ordinal));
        // The ground of each ribbon lies wholly inside that of the one before.
        (IReadOnlyList<Place> Outer, IReadOnlyList<Place> Inner)[] grounds = [.. new[] { "ribbon-gap", "ribbon-flush", "ribbon-seal" }.Select(g => sheet.InGroup(g).OfType<Trail>().First()).Select(t => (t.Places, t.Hole!))];
        for (int i = 1; i < grounds.Length; i++) Assert.All(grounds[i].Outer, p => Assert.True(SeamOnPage.Encloses(grounds[i - 1].Inner, p)));
    }

    [Fact]
    public void Two_labels_whose_leaders_would_cross_change_places()
    {
        // Three ribbons, labels on every one of them, from many seeds: the usual map of a door in trouble.
        List<int> crossings = [];
        for (ulong seed = 1; seed <= 12; seed++)
        {
            Sheet sheet = DoorMap.Layout(SyntheticDoors.Content(SyntheticDoors.Make("trapezium", 48), 0.12, new SeededRandom(seed), seal: true));
            (Place From, Place To)[] leaders = [.. sheet.InGroup("labels").OfType<Trail>().SelectMany(Pieces)];
            Assert.NotEmpty(leaders);
            crossings.Add(leaders.Select((a, i) => leaders.Skip(i + 1).Count(b => Crossed(a, b))).Sum());
        }
        Assert.True(crossings.Sum() == 0, $"crossings: {string.Join(" ", crossings)}");

        static bool Crossed((Place From, Place To) a, (Place From, Place To) b) =>
            Side(a.From, a.To, b.From) * Side(a.From, a.To, b.To) < 0 && Side(b.From, b.To, a.From) * Side(b.From, b.To, a.To) < 0;

        static double Side(Place p, Place q, Place r) => (q.X - p.X) * (r.Y - p.Y) - (q.Y - p.Y) * (r.X - p.X);
    }

    // Every station that is outside or undecided is labelled, listed or counted.
    private static IEnumerable<string> Untold(Sheet sheet, DoorMapContent content)
    {
        string text = string.Join(" ", sheet.Flat().OfType<Lettering>().Select(t => t.Text));
        int due = content.Rows.Count(r => r.Verdict is Verdict.Outside or Verdict.Undecided), told = ValueOfStation().Count(text), more = MoreStations().Match(text) is { Success: true } m ? int.Parse(m.Groups[1].Value, null) : 0;
        if (told + more < due) yield return Invariant($"{due} stations are outside or undecided, but {told} are told and {more} counted");
        if (due > 0 && told == 0) yield return "no station is told";
    }

    private static IEnumerable<string> Illegible(Sheet sheet)
    {
        Box page = new(0, 0, sheet.WidthMm, sheet.HeightMm);
        foreach (Lettering text in sheet.Flat().OfType<Lettering>())
        {
            if (text.CapitalMm < Lettering.LeastMm) yield return $"'{text.Text}' is {text.CapitalMm} mm high";
            if (!page.Contains(text.Box)) yield return $"'{text.Text}' leaves the sheet";
        }
    }

    [Fact]
    public void Names_from_files_are_escaped_and_read_back()
    {
        const string Build = "<b>&\"D4";
        Sheet sheet = DoorMap.Layout(SyntheticDoors.Content(SyntheticDoors.Make("trapezium", 24), 0.2, new SeededRandom(3), Build));
        XDocument svg = XDocument.Parse(SvgWriter.Write(sheet, embedFonts: false));
        Assert.Contains(svg.Descendants().Where(e => e.Name.LocalName == "text"), e => e.Value.Contains(Build, StringComparison.Ordinal));
        using PdfDocument pdf = PdfDocument.Open(SheetPainter.ToPdf([sheet], sheet.Title));
        Assert.Contains(Build, pdf.GetPage(1).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_title_block_tells_what_the_paper_must_show()
    {
        Sheet sheet = DoorMap.Layout(SyntheticDoors.Content(SyntheticDoors.Make("trapezium", 24), 0.2, new SeededRandom(3)));
        string block = string.Join(" ", sheet.InGroup("title-block").OfType<Lettering>().Select(t => t.Text));
        Assert.All(["Dabchick D4 build D4-017", "Door P1", "left hand", "within", "undecided", "outside", "missing", "1 doubt", "trial", "issue C", "R. Sedge", "SG-04", "20.8 °C", "edge", "mid-gap", "ISO 14253-1", "licensed staff"],
            words => Assert.Contains(words, block, StringComparison.Ordinal));
    }

    [Fact]
    public void A_port_door_has_forward_on_the_left_and_up_at_the_top()
    {
        OutlineView view = new(SyntheticDoors.Plan(SyntheticDoors.Make("trapezium", 24)), SyntheticDoors.Make("trapezium", 24));
        Assert.Equal((-1.0, 0.0), (Math.Round(view.Forward.Right, 9), Math.Round(view.Forward.Up, 9)));
        Assert.Equal((0.0, 1.0), (Math.Round(view.Up.Right, 9), Math.Round(view.Up.Up, 9)));
    }

    [Fact]
    public void The_layout_is_as_accepted() =>
        Golden.Holds("door-map.txt", SheetText.Of(DoorMap.Layout(SyntheticDoors.Content(SyntheticDoors.Make("trapezium", 12), 0.3, new SeededRandom(7)))));

    [Fact]
    public void Labels_leave_ink()
    {
        Sheet sheet = DoorMap.Layout(SyntheticDoors.Content(SyntheticDoors.Make("trapezium", 24), 0.2, new SeededRandom(3)));
        Assert.NotEmpty(sheet.InGroup("labels").OfType<Lettering>());
        Assert.All(sheet.InGroup("labels").OfType<Lettering>().Take(6), t => Assert.InRange(DrawingSamples.Ink(sheet, t.Box), 0.05, 0.6));
    }

    // Labels against each other, against everything drawn on the ribbons and the seam, the title block and the edges of the sheet.
    private static List<string> Overlaps(Sheet sheet)
    {
        List<string> found = [];
        Lettering[] labels = [.. sheet.InGroup("labels").OfType<Lettering>()];
        Box paper = new Box(0, 0, sheet.WidthMm, sheet.HeightMm).Grow(-5);
        Box block = Box.Round([.. sheet.InGroup("title-block").OfType<Trail>().SelectMany(t => t.Places)]);
        Lettering[] other = [.. sheet.InGroup("seam").Concat(sheet.InGroup("guides")).OfType<Lettering>()];
        (string Group, Place From, Place To)[] lines = [.. new[] { "ribbon-gap", "ribbon-flush", "ribbon-seal", "seam", "guides" }.SelectMany(g => sheet.InGroup(g).OfType<Trail>().SelectMany(t => Pieces(t).Select(p => (g, p.From, p.To))))];
        (Place From, Place To)[] leaders = [.. sheet.InGroup("labels").OfType<Trail>().SelectMany(Pieces)];
        for (int i = 0; i < labels.Length; i++)
        {
            Box box = labels[i].Box;
            if (leaders.Any(l => box.Grow(-0.3).IsCrossedBy(l.From, l.To))) found.Add($"'{labels[i].Text}' under a leader");
            if (!paper.Contains(box)) found.Add($"'{labels[i].Text}' over the edge");
            if (block.Overlaps(box)) found.Add($"'{labels[i].Text}' over the title block");
            for (int j = i + 1; j < labels.Length; j++)
            {
                if (box.Grow(-0.25).Overlaps(labels[j].Box.Grow(-0.25))) found.Add($"'{labels[i].Text}' over '{labels[j].Text}'");
            }
            foreach (Lettering text in other)
            {
                if (box.Overlaps(text.Box)) found.Add($"'{labels[i].Text}' over '{text.Text}'");
            }
            if (lines.FirstOrDefault(l => box.IsCrossedBy(l.From, l.To)) is { Group: string group }) found.Add($"'{labels[i].Text}' over {group}");
        }
        return found;
    }

    private static IEnumerable<(Place From, Place To)> Pieces(Trail trail)
    {
        int count = trail.Places.Count;
        for (int i = 0; i < (trail.Closed ? count : count - 1); i++) yield return (trail.Places[i], trail.Places[(i + 1) % count]);
    }

    [GeneratedRegex(@"and (\d+) more")]
    private static partial Regex MoreStations();

    [GeneratedRegex(@"((gap|flush) -?\d+\.\d\d mm|seal -?\d+\.\d %)")]
    private static partial Regex ValueOfStation();
}
