using GapFlush.Plan;
using GapFlush.Product.Tests.Drawing;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using UglyToad.PdfPig;

namespace GapFlush.Product.Tests.Maps;

public class RouteSheetTests
{
    public static TheoryData<string, int> Situations => DoorMapTests.Situations();

    [Theory]
    [MemberData(nameof(Situations))]
    public void Every_station_has_its_row_once_in_walking_order(string shape, int stations)
    {
        Door door = SyntheticDoors.Make(shape, stations);
        IReadOnlyList<Sheet> pages = RouteSheet.Layout(SyntheticDoors.Plan(door), door);
        string[] rows = [.. pages.SelectMany(p => p.Shapes.OfType<Group>().Where(g => g.Id.StartsWith("table-", StringComparison.Ordinal))).SelectMany(g => g.Shapes.OfType<Lettering>()).Select(t => t.Text).Where(t => t.StartsWith("P1-", StringComparison.Ordinal))];
        Assert.Equal(door.Stations.Select(s => s.Name), rows);
    }

    [Theory]
    [MemberData(nameof(Situations))]
    public void No_lettering_lies_on_another_or_leaves_the_page(string shape, int stations)
    {
        Door door = SyntheticDoors.Make(shape, stations);
        foreach (Sheet page in RouteSheet.Layout(SyntheticDoors.Plan(door), door))
        {
            Lettering[] all = [.. page.Flat().OfType<Lettering>()];
            Box paper = new Box(0, 0, page.WidthMm, page.HeightMm).Grow(-8);
            for (int i = 0; i < all.Length; i++)
            {
                Assert.True(paper.Contains(all[i].Box), all[i].Text);
                Assert.InRange(all[i].CapitalMm, Lettering.LeastMm, 10);
                for (int j = i + 1; j < all.Length; j++) Assert.False(all[i].Box.Grow(-0.3).Overlaps(all[j].Box.Grow(-0.3)), $"'{all[i].Text}' lies on '{all[j].Text}'");
            }
        }
    }

    [Fact]
    public void A_small_door_takes_one_page_and_many_stations_take_more()
    {
        Door small = SyntheticDoors.Make("small", 12), large = SyntheticDoors.Make("trapezium", 120);
        Assert.Single(RouteSheet.Layout(SyntheticDoors.Plan(small), small));
        Assert.InRange(RouteSheet.Layout(SyntheticDoors.Plan(large), large).Count, 2, 3);
    }

    [Fact]
    public void Many_pages_stand_one_below_the_other_where_a_file_holds_one_picture()
    {
        Door door = SyntheticDoors.Make("trapezium", 120);
        IReadOnlyList<Sheet> pages = RouteSheet.Layout(SyntheticDoors.Plan(door), door);
        Sheet one = RouteSheet.LayoutOnOne(SyntheticDoors.Plan(door), door);
        Assert.Equal(297.0 * pages.Count, one.HeightMm);
        Assert.Equal(pages.SelectMany(p => p.Flat().OfType<Lettering>()).Select(t => t.Text), one.Flat().OfType<Lettering>().Select(t => t.Text));
        string[] ids = [.. one.Shapes.OfType<Group>().Select(g => g.Id)];
        Assert.Equal(ids.Distinct(), ids);
    }

    [Fact]
    public void A_door_with_a_seal_land_has_a_place_for_it()
    {
        Door door = SyntheticDoors.Make("trapezium", 24);
        FitPlan plan = SyntheticDoors.Plan(door);
        plan = plan with { Limits = new LimitsTable([.. plan.Limits.Rows, new LimitRow("P1", null, null, Characteristic.LandGap, null, 9, new Limits(8, 10), 4)]) };
        Assert.Contains("land gap", RouteSheet.Layout(plan, door)[0].Flat().OfType<Lettering>().Select(t => t.Text));
    }

    [Fact]
    public void The_fields_read_back_from_the_pdf()
    {
        Door door = SyntheticDoors.Make("trapezium", 24);
        using PdfDocument pdf = PdfDocument.Open(SheetPainter.ToPdf(RouteSheet.Layout(SyntheticDoors.Plan(door), door), "Route sheet"));
        Assert.All(["Build", "Stage", "Temperature °C", "Gap gauge", "Flush gauge", "Date, time", "Name", "Seen from outside", "licensed staff", "1 of 1"], w => Assert.Contains(w, pdf.GetPage(1).Text, StringComparison.Ordinal));
    }

    [Fact]
    public void The_layout_is_as_accepted()
    {
        Door door = SyntheticDoors.Make("small", 12);
        Golden.Holds("route-sheet.txt", string.Concat(RouteSheet.Layout(SyntheticDoors.Plan(door), door).Select(SheetText.Of)));
    }
}
