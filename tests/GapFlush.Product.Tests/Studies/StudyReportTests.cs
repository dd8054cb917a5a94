using GapFlush.Demo;
using GapFlush.Measurements;
using GapFlush.Readings;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Reports.Studies;
using GapFlush.Workflows;
using Sheet = GapFlush.Reports.Drawing.Sheet;

namespace GapFlush.Product.Tests.Studies;

/// <summary>The reports of the studies over builds, laid out from the demo: short enough to be read, the answer on the first sheet, nothing printed over anything else.</summary>
public class StudyReportTests
{
    private static readonly Lazy<IReadOnlyList<Measurement>> Measured = new(() => ManyBuilds.Measure(Dabchick.Plan, null, Of("readings")));
    private static readonly Lazy<TrendStudy> Trend = new(() => TrendStudy.Run(Dabchick.Plan, Measured.Value));
    private static readonly Lazy<CapabilityStudy> Capability = new(() => CapabilityStudy.Run(Dabchick.Plan, Measured.Value));

    [Fact]
    public void Trend_of_three_doors_over_thirty_builds_stays_under_sixty_sheets_and_says_what_it_leaves_out()
    {
        Report report = TrendReport.Compose(Dabchick.Plan, Trend.Value);
        IReadOnlyList<Sheet> sheets = PdfReport.Layout(report);
        Assert.InRange(sheets.Count, 20, 59);
        string first = Words(sheets[0]);
        foreach (string words in new[] { "charts signal", "Look first at these builds", "What costs most rework", "Values outside" }) Assert.Contains(words, first, StringComparison.Ordinal);
        Assert.Contains(report.Blocks.OfType<Paragraph>(), p => p.Text.Contains("--every-page", StringComparison.Ordinal) && p.Text.Contains($"the {TrendReport.MostPages} strongest", StringComparison.Ordinal));
        // Asked for, every place has its page.
        int charted = Trend.Value.Lines.Count(l => l.Series.Values.Count > 1);
        Assert.True(TrendReport.Compose(Dabchick.Plan, Trend.Value, everyPage: true).Blocks.OfType<Figure>().Count() >= charted);
    }

    [Fact]
    public void Every_charted_place_stands_on_one_small_chart_with_its_moulds_beside_one_another()
    {
        TrendLine[] gaps = [.. Trend.Value.Lines.Where(l => l.Series.Key is { Door: "P1", Characteristic.Code: "gap" })];
        Sheet sheet = Assert.Single(Reports.Charts.SmallMultiples.Pages("P1", gaps));
        int stations = gaps.Select(l => l.Series.Key.Station).Distinct().Count();
        Assert.Equal(54, stations);
        // A dot for every value of both moulds.
        Assert.Equal(gaps.Sum(l => l.Series.Values.Count), sheet.Flat().OfType<Disc>().Count());
        string[] words = [.. sheet.Flat().OfType<Lettering>().Select(t => t.Text)];
        foreach (TrendLine line in gaps) Assert.Contains(words, w => w.Split(' ').Contains(line.Series.Key.Station));
        Assert.Contains(words, w => w.Contains("B / A, then C / A", StringComparison.Ordinal));
    }

    [Fact]
    public void Builds_at_which_much_signals_are_told_once_and_a_sheet_in_inches_comes_first()
    {
        // The demo writes all gaps of B1 on D4-011 in inches.
        SignalledBuild first = Trend.Value.AtBuilds[0];
        Assert.Equal(("B1", "D4-011"), (first.Door, first.Build));
        Assert.True(first.IsWholeDoor);
        Assert.Equal("gap at 42 of 42 places", first.Words);
        Assert.All(Trend.Value.AtBuilds, b => Assert.True(b.Lines.Count >= SignalledBuild.LeastPlaces));
        Assert.Equal(Trend.Value.Lines.Count(l => l.HasSignal), Trend.Value.ByDoor.Sum(d => d.Signals));
    }

    [Fact]
    public void Capability_of_three_doors_over_thirty_builds_stays_under_sixty_sheets_and_can_print_every_figure()
    {
        Report report = CapabilityReport.Compose(Dabchick.Plan, Capability.Value);
        IReadOnlyList<Sheet> sheets = PdfReport.Layout(report);
        Assert.InRange(sheets.Count, 20, 59);
        string first = Words(sheets[0]);
        foreach (string words in new[] { "Not shown capable", "The lowest first", "not in", "P1 14" }) Assert.Contains(words, first, StringComparison.Ordinal);
        Assert.Contains(report.Blocks.OfType<Paragraph>(), p => p.Text.Contains("--every-figure", StringComparison.Ordinal));
        int every = CapabilityReport.Compose(Dabchick.Plan, Capability.Value, everyFigure: true).Blocks.OfType<Table>().Where(t => t.Columns.Any(c => c.Title.StartsWith("Normal?", StringComparison.Ordinal))).Sum(t => t.Rows.Count);
        Assert.Equal(Capability.Value.Lines.Count(l => l.Capability.Count > 1), every);
    }

    [Fact]
    public void Every_place_counts_once_in_the_tally_of_a_door()
    {
        foreach (var door in Capability.Value.Lines.GroupBy(l => l.Key.Door))
        {
            CapabilityTally t = CapabilityTally.Of([.. door]);
            Assert.Equal(door.Count(), t.Shown + t.TooFewBuilds + t.Below + t.FarBelow + t.NoIndex);
        }
    }

    [Theory]
    [InlineData("trend")]
    [InlineData("capability")]
    [InlineData("revisions")]
    [InlineData("gauge-study")]
    public void No_lettering_of_a_report_overlaps_another_or_leaves_its_sheet(string study)
    {
        Report report = study switch
        {
            "trend" => TrendReport.Compose(Dabchick.Plan, Trend.Value),
            "capability" => CapabilityReport.Compose(Dabchick.Plan, Capability.Value),
            "revisions" => RevisionReport.Compose(Dabchick.Plan, RevisionStudy.Run(Dabchick.Plan, Measured.Value, "P1").Value!),
            _ => GaugeReport.Compose(Dabchick.Plan, GaugeStudyRun.Run(Dabchick.Plan, Of("studies")), [], []),
        };
        IReadOnlyList<Sheet> sheets = PdfReport.Layout(report);
        for (int page = 0; page < sheets.Count; page++)
        {
            // Turned names under an axis stand on a slant: their upright boxes cross though the words do not.
            Lettering[] texts = [.. sheets[page].Flat().OfType<Lettering>().Where(t => t.TurnDeg == 0 && t.Text.Length > 0)];
            Box paper = new(0, 0, sheets[page].WidthMm, sheets[page].HeightMm);
            for (int i = 0; i < texts.Length; i++)
            {
                Assert.True(paper.Contains(texts[i].Box), $"page {page + 1}: '{texts[i].Text}' leaves the sheet");
                for (int k = 0; k < i; k++)
                    Assert.False(texts[i].Box.Grow(-0.35).Overlaps(texts[k].Box.Grow(-0.35)), $"page {page + 1}: '{texts[i].Text}' overlaps '{texts[k].Text}'");
            }
        }
    }

    // As a user reads them: the demo's files with all that was planted in them.
    private static IReadOnlyList<Reading> Of(string folder) =>
        [.. Dabchick.Write().Where(f => f.Path.StartsWith(folder, StringComparison.Ordinal) && f.Path.EndsWith(".csv", StringComparison.Ordinal)).OrderBy(f => f.Path, StringComparer.Ordinal).SelectMany(f => ReadingsReader.Read(Inputs.InputFile.FromBytes(f.Path, f.Bytes), Dabchick.Plan).Value!.Readings)];

    private static string Words(Sheet sheet) => string.Join(' ', sheet.Flat().OfType<Lettering>().Select(t => t.Text));
}
