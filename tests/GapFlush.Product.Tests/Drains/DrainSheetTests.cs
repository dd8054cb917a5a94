using GapFlush.Drainage;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Reports.Drains;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Tests;
using GapFlush.Workflows;

namespace GapFlush.Product.Tests.Drains;

/// <summary>The drawings of the demo's channels: the build whose sill sags, and the plan itself.</summary>
public class DrainSheetTests
{
    private static readonly FitPlan Plan = PlanReader.Read([.. Directory.EnumerateFiles(Demo).Select(f => new InputFile(Path.GetFileName(f), () => File.OpenRead(f)))]).Value;

    private static readonly DrainResult Sagging = DrainPlan.Run(Plan,
        LevelsReader.Read(new("D4-021.csv", () => File.OpenRead(Path.Combine(Demo, "levels", "D4-021.csv"))), Plan).Value, "D4-021").Value;

    private static string Demo => Path.Combine(Fixture.Root, "fixtures", "dabchick");

    public static TheoryData<string> Channels => [.. Plan.Channels.Select(c => c.Name)];

    [Theory]
    [MemberData(nameof(Channels))]
    public void No_lettering_of_a_fall_strip_or_chart_overlaps_another_or_leaves_the_sheet(string channel)
    {
        foreach (DrainResult result in new[] { Sagging, DrainPlan.Run(Plan).Value })
        {
            ChannelResult found = result.Channels.First(c => c.Channel.Name == channel);
            foreach (Sheet sheet in found.Attitudes.Select(FallStrip.Draw).Append(AttitudeChart.Draw(found)!))
            {
                Lettering[] texts = [.. sheet.Flat().OfType<Lettering>()];
                Box page = new(0, 0, sheet.WidthMm, sheet.HeightMm);
                for (int i = 0; i < texts.Length; i++)
                {
                    Assert.True(page.Contains(texts[i].Box), $"{sheet.Title}: '{texts[i].Text}' leaves the sheet");
                    Assert.True(texts[i].CapitalMm >= Lettering.LeastMm);
                    for (int k = 0; k < i; k++)
                        Assert.False(texts[i].Box.Grow(-0.35).Overlaps(texts[k].Box.Grow(-0.35)), $"{sheet.Title}: '{texts[i].Text}' overlaps '{texts[k].Text}'");
                }
            }
        }
    }

    [Fact]
    public void The_sag_is_filled_on_the_strip_and_shown_on_the_chart()
    {
        ChannelResult sill = Sagging.Channels.First(c => c.Channel.Name == "S1-sill");
        Sheet strip = FallStrip.Draw(sill.Attitudes[0]);
        Assert.NotEmpty(strip.InGroup("ponds"));
        Assert.Contains("4.2 mL", strip.Description);
        Assert.Contains(strip.Flat().OfType<Lettering>(), t => t.Text.StartsWith("✗ -7.31", StringComparison.Ordinal));
        Assert.NotEmpty(AttitudeChart.Draw(sill)!.InGroup("water"));
        Assert.Empty(AttitudeChart.Draw(Sagging.Channels.First(c => c.Channel.Name == "P1-hoop"))!.InGroup("water"));
    }

    [Fact]
    public void A_channel_on_the_map_shows_its_pond_and_outlets()
    {
        Group layer = ChannelLayer.Draw(Sagging.Of("S1"), 0, Plan.FindDoor("S1")!, p => new(p.X / 10, -p.Z / 10), s => new(0, 0));
        Trail[] trails = [.. layer.Shapes.OfType<Group>().SelectMany(g => g.Shapes).OfType<Trail>()];
        Assert.Contains(trails, t => t.Stroke?.WidthMm == 1.8);
        Assert.Equal(4, layer.Shapes.OfType<Group>().SelectMany(g => g.Shapes).OfType<Disc>().Count());
    }

    [Fact]
    public void A_report_has_a_strip_and_a_chart_for_each_channel_and_the_caution()
    {
        IReadOnlyList<Block> blocks = DrainPages.Of(Sagging, "S1");
        Assert.Equal(4, blocks.OfType<Figure>().Count());
        Assert.Contains(blocks.OfType<Paragraph>(), p => p.Role == ParagraphRole.Caution && p.Text.Contains("water test decides", StringComparison.Ordinal));
        Assert.Empty(DrainPages.Of(Sagging, "none"));
    }
}
