using System.Text.Json;
using GapFlush.Tests;
using UglyToad.PdfPig;

namespace GapFlush.Product.Tests.Commands;

/// <summary>Drain channels in the main job: the demo build whose sill floor sags beside a loose stretch of seal.</summary>
public class InspectDrainTests
{
    private static readonly string Plan = Fixture.At("dabchick");

    private static string[] Call(string folder, params string[] more) =>
        ["inspect", Plan, "--build", "D4-021", "--readings", Path.Combine(Plan, "readings", "D4-021.csv"), "--out", folder, "--quiet", .. more];

    private static string Levels => Path.Combine(Plan, "levels", "D4-021.csv");

    [Fact]
    public async Task Levels_put_the_drains_into_rows_report_and_map()
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("tests.csv"), "build,door,station,attitude,result,minutes,flow_l_per_min\nD4-021,S1,11,afloat-level,wet,10,4\nD4-021,P1,,,wet,15,4\nD4-020,B1,,,dry,,\n", TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of(Call(scratch.At("out"), "--levels", Levels, "--water-tests", scratch.At("tests.csv")));
        Assert.Equal((1, ""), (run.ExitCode, run.Error));
        Assert.Contains("drain  S1-sill  outside\n", run.Output, StringComparison.Ordinal);

        using JsonDocument json = JsonDocument.Parse(await File.ReadAllBytesAsync(scratch.At("out", "results.json"), TestContext.Current.CancellationToken));
        JsonElement[] rows = [.. json.RootElement.EnumerateArray().Where(r => r.GetProperty("characteristic").GetString() is "slope" or "pond_depth")];
        Assert.Equal(5 * (5 + 6), rows.Length);   // five channels: five attitudes, and the worst pond between them
        JsonElement pond = rows.Single(r => r.GetProperty("zone").GetString() == "S1-sill" && r.GetProperty("characteristic").GetString() == "pond_depth" && r.GetProperty("definition").GetString() == "afloat-level");
        Assert.Equal(("S1", "outside"), (pond.GetProperty("door").GetString(), pond.GetProperty("verdict").GetString()));
        Assert.Equal(4.73, pond.GetProperty("value").GetDouble(), 1e-6);
        Assert.Contains("S1,S1-sill,,slope,afloat-level", await File.ReadAllTextAsync(scratch.At("out", "results.csv"), TestContext.Current.CancellationToken), StringComparison.Ordinal);

        string html = await File.ReadAllTextAsync(scratch.At("out", "report.html"), TestContext.Current.CancellationToken);
        using PdfDocument pdf = PdfDocument.Open(scratch.At("out", "report.pdf"));
        string text = string.Join(' ', pdf.GetPages().Select(p => string.Join(' ', p.GetWords().Select(w => w.Text))));
        foreach (string words in (string[])["Drain channel S1-sill", "Starboard wing low 3 deg, 75 mm/h: pond of 4.5 mL", "at S1-11 lies against a seal compressed", "a risk was predicted: agreement",
            "no risk was predicted: look for a blocked drain", "a water test decides"])
        {
            Assert.Contains(words, html, StringComparison.Ordinal);
            Assert.Contains(words, text, StringComparison.Ordinal);
        }
        Assert.DoesNotContain("D4-020", html, StringComparison.Ordinal);

        string map = await File.ReadAllTextAsync(scratch.At("out", "map-S1.svg"), TestContext.Current.CancellationToken);
        Assert.Contains("id=\"channel-S1-sill\"", map, StringComparison.Ordinal);
        Assert.Contains("pond 4.9 mm, 4.5 mL", map, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_verdict_of_a_door_counts_its_measured_drains()
    {
        using ScratchFolder scratch = new();
        int without = Outside(await CommandRun.Of(Call(scratch.At("a"), "--json"))), with = Outside(await CommandRun.Of(Call(scratch.At("b"), "--json", "--levels", Levels)));
        // Five slopes, four ponds and the pond between the attitudes; the pond nose up is within.
        Assert.Equal(without + 5 + 4 + 1, with);

        static int Outside(CommandRun run)
        {
            using JsonDocument json = JsonDocument.Parse(run.Output);
            return json.RootElement.GetProperty("doors").EnumerateArray().Single(d => d.GetProperty("door").GetString() == "S1").GetProperty("outside").GetInt32();
        }
    }

    [Fact]
    public async Task Without_levels_nothing_is_said_of_drains_and_water_tests_alone_count_for_nothing()
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("tests.csv"), "build,door,result\nD4-021,S1,dry\n", TestContext.Current.CancellationToken);
        CommandRun alone = await CommandRun.Of(Call(scratch.At("a"))), tests = await CommandRun.Of(Call(scratch.At("b"), "--water-tests", scratch.At("tests.csv")));
        Assert.DoesNotContain("drain", alone.Output, StringComparison.Ordinal);
        Assert.Equal(await File.ReadAllTextAsync(scratch.At("a", "results.csv"), TestContext.Current.CancellationToken), await File.ReadAllTextAsync(scratch.At("b", "results.csv"), TestContext.Current.CancellationToken));
        Assert.Contains("drain  S1-sill  within as the plan has it\n", tests.Output, StringComparison.Ordinal);
        Assert.Contains("as the plan has it, not measured", await File.ReadAllTextAsync(scratch.At("b", "report.html"), TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--levels", "build,channel,point,z\nD4-020,S1-sill,1,600\n", "expected levels of build D4-021, found 'D4-020'")]
    [InlineData("--water-tests", "build,door,result\nD4-020,S1,dry\n", "expected water tests of build D4-021, found 'D4-020'")]
    public async Task Files_of_another_build_are_refused_and_nothing_is_written(string option, string text, string message)
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("f.csv"), text, TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of(Call(scratch.At("out"), option, scratch.At("f.csv")));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(scratch.At("out")));
    }

    [Fact]
    public async Task Drain_takes_the_seal_readings_too_and_says_where_there_are_none()
    {
        string readings = Path.Combine(Plan, "readings", "D4-021.csv");
        CommandRun with = await CommandRun.Of("drain", Plan, "--build", "D4-021", "--levels", Levels, "--readings", readings, "--quiet");
        Assert.Equal(1, with.ExitCode);
        Assert.Contains("  Starboard wing low 3 deg, 75 mm/h: pond of 4.5 mL (4.9 mm deep at point 8 of S1-sill) at S1-11 lies against a seal compressed", with.Output, StringComparison.Ordinal);
        // Station 10 itself presses enough; between it and 11 the seal does not.
        Assert.Contains("(also S1-10 towards 11 at 17.2 %", with.Output, StringComparison.Ordinal);
        CommandRun without = await CommandRun.Of("drain", Plan, "--build", "D4-021", "--levels", Levels, "--quiet");
        Assert.Contains("Water beside the seal\n  Not said: no seal was read", without.Output, StringComparison.Ordinal);
        CommandRun other = await CommandRun.Of("drain", Plan, "--build", "D4-020", "--readings", readings);
        Assert.Equal(2, other.ExitCode);
        Assert.Contains("expected readings of build D4-020, found 'D4-021'", other.Error, StringComparison.Ordinal);
    }
}
