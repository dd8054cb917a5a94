using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Tests.Scans;
using GapFlush.Tests.Scenes;

namespace GapFlush.Product.Tests.Commands;

/// <summary>A scanner of which gauges.csv says nothing: told once, with how to mend it, in the report too, and gone when the row is there.</summary>
public class UnknownScannerTests
{
    private const string Notice = "notice: gauges.csv names no scanner with an uncertainty";
    private const string Heading = "gauge,kind,resolution,uncertainty,coverage_factor,calibration_due\n";

    private static readonly SeamScene Scene = new(SceneOptions.Typical with { Seed = 7, Pitch = 0.6 });
    private static readonly Point3[] Points = [.. Scene.Points()];
    private static readonly FitPlan Plan = Scene.Plan with { Doors = [Scene.Door, ScenePlan.Mirrored(Scene.Door, "S1")], Skin = [] };

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(null)]
    [InlineData("TG-01,taper gauge,0.05,0.15,2,2027-03-31\n")]
    [InlineData("LS-01,laser scanner,0.01,,,2027-03-31\n")]
    public async Task Section_says_once_that_the_scanner_is_not_in_the_uncertainty(string? gauges)
    {
        using ScratchFolder scratch = await Made(gauges);
        CommandRun run = await Section(scratch);
        Assert.Equal(1, run.Error.Split(Notice).Length - 1);
        Assert.Contains("not in the uncertainty stated", run.Error, StringComparison.Ordinal);
    }

    // The notice names a row to add; that very row must do.
    [Fact]
    public async Task The_row_that_the_notice_names_ends_it_and_widens_every_uncertainty()
    {
        using ScratchFolder scratch = await Made(null);
        CommandRun without = await Section(scratch);
        double[] before = await Uncertainties(scratch);
        string row = without.Error.Split("as in ")[1].Split(" (")[0];
        await File.WriteAllTextAsync(scratch.At("plan", "gauges.csv"), Heading + row + "\n", Stop);
        CommandRun with = await Section(scratch);
        Assert.DoesNotContain(Notice, with.Error, StringComparison.Ordinal);
        double[] after = await Uncertainties(scratch);
        Assert.Equal(before.Length, after.Length);
        Assert.All(before.Zip(after), u => Assert.True(u.Second > u.First));
    }

    [Fact]
    public async Task Inspect_says_it_once_for_all_scans_and_in_the_report()
    {
        using ScratchFolder scratch = await Made(null);
        string[] call = ["inspect", scratch.At("plan"), "--build", "1", "--scan", "P1=" + scratch.At("P1.ply"), "S1=" + scratch.At("S1.ply"), "--aligned", "P1", "S1", "--out", scratch.At("out")];
        CommandRun run = await CommandRun.Of(call);
        Assert.Equal(1, run.Error.Split(Notice).Length - 1);
        const string InReport = "not in gauges.csv: its own scale and accuracy are not in the uncertainties stated";
        Assert.Equal(2, (await File.ReadAllTextAsync(scratch.At("out", "report.html"), Stop)).Split(InReport).Length - 1);
        await File.WriteAllTextAsync(scratch.At("plan", "gauges.csv"), Heading + "SC-01,hand-held scanner,0.01,0.05,2,2027-12-31\n", Stop);
        Assert.DoesNotContain(Notice, (await CommandRun.Of(call)).Error, StringComparison.Ordinal);
        Assert.DoesNotContain(InReport, await File.ReadAllTextAsync(scratch.At("out", "report.html"), Stop), StringComparison.Ordinal);
    }

    private static Task<CommandRun> Section(ScratchFolder scratch) =>
        CommandRun.Of("section", scratch.At("plan"), "--door", "P1", "--scan", scratch.At("P1.ply"), "--aligned", "--out", scratch.At("out.csv"));

    private static async Task<double[]> Uncertainties(ScratchFolder scratch) =>
        [.. (await File.ReadAllLinesAsync(scratch.At("out.csv"), Stop)).Skip(1).Select(l => l.Split(',')).Where(r => r[4].Length > 0 && r[6].Length > 0).SelectMany(r => new[] { Number(r[4]), Number(r[6]) })];

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static async Task<ScratchFolder> Made(string? gauges)
    {
        ScratchFolder scratch = new();
        ScenePlan.Write(scratch.At("plan"), Plan);
        if (gauges is not null) await File.WriteAllTextAsync(scratch.At("plan", "gauges.csv"), Heading + gauges, Stop);
        await File.WriteAllBytesAsync(scratch.At("P1.ply"), ScanFiles.PlyBinary(Points, big: false, wide: false), Stop);
        await File.WriteAllBytesAsync(scratch.At("S1.ply"), ScanFiles.PlyBinary([.. Points.Select(p => p with { Y = -p.Y })], big: false, wide: false), Stop);
        return scratch;
    }
}
