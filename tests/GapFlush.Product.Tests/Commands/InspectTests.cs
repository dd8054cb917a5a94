using System.Text.Json;
using GapFlush.Tests;
using UglyToad.PdfPig;

namespace GapFlush.Product.Tests.Commands;

public class InspectTests
{
    private static readonly string Plan = Fixture.At("dabchick");

    [Fact]
    public async Task Inspect_writes_results_report_and_a_map_of_each_door()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At("out"), "--quiet");
        Assert.Equal(1, run.ExitCode);
        Assert.Equal("", run.Error);
        Assert.StartsWith("P1  outside: ", run.Output, StringComparison.Ordinal);
        // Which station, by how much and which way, the farthest out first.
        string[] told = [.. run.Output.Split('\n').Select(l => l.TrimEnd()).Where(l => l.StartsWith("P1  outside: ", StringComparison.Ordinal)).Skip(1)];
        Assert.Equal(["P1  outside: 14, gap 5.36 mm, 0.36 above the upper limit 5.00", "P1  outside: 13, gap 5.21 mm, 0.21 above the upper limit 5.00"], told);
        Assert.Equal(
            ["map-B1.png", "map-B1.svg", "map-P1.png", "map-P1.svg", "map-S1.png", "map-S1.svg", "report.html", "report.pdf", "results.csv", "results.json"],
            Directory.EnumerateFileSystemEntries(scratch.At("out")).Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal));
        string[] lines = await File.ReadAllLinesAsync(scratch.At("out", "results.csv"), TestContext.Current.CancellationToken);
        Assert.Equal("build,door,zone,station,characteristic,definition,stage,value,unit,uncertainty,nominal,lower,upper,deviation,verdict,reason", lines[0]);
        using JsonDocument json = JsonDocument.Parse(await File.ReadAllBytesAsync(scratch.At("out", "results.json"), TestContext.Current.CancellationToken));
        Assert.Equal(lines.Length - 1, json.RootElement.GetArrayLength());
        Assert.Equal(lines[0].Split(','), json.RootElement[0].EnumerateObject().Select(p => p.Name));
    }

    [Fact]
    public async Task The_same_input_gives_the_same_bytes()
    {
        using ScratchFolder scratch = new();
        foreach (string folder in (string[])["a", "b"]) await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At(folder), "--quiet");
        foreach (string file in Directory.EnumerateFiles(scratch.At("a")))
            Assert.Equal(await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken), await File.ReadAllBytesAsync(scratch.At("b", Path.GetFileName(file)), TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Json_goes_to_standard_output_alone()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At("out"), "--json");
        using JsonDocument json = JsonDocument.Parse(run.Output);
        Assert.Equal("D4-017", json.RootElement.GetProperty("build").GetString());
        Assert.Equal(["P1", "S1", "B1"], json.RootElement.GetProperty("doors").EnumerateArray().Select(d => d.GetProperty("door").GetString()!));
    }

    [Fact]
    public async Task A_leak_is_told_on_the_screen_in_the_results_in_the_json_and_in_both_reports()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-021", "--readings", Readings("D4-021"), "--out", scratch.At("out"), "--quiet");
        Assert.Contains("S1  leak path: 91 mm below its least compression, from 1 mm after 10 to 45 mm after 11 (sill), least 14.2 % at 11", run.Output, StringComparison.Ordinal);
        string csv = await File.ReadAllTextAsync(scratch.At("out", "results.csv"), TestContext.Current.CancellationToken);
        Assert.Contains("D4-021,S1,sill,11,compression,,trial-fit,14.2", csv, StringComparison.Ordinal);
        Assert.Contains("D4-021,S1,,,closing_load,,trial-fit,", csv, StringComparison.Ordinal);
        Assert.Contains("D4-021,S1,,,handle_force,,trial-fit,", csv, StringComparison.Ordinal);
        string html = await File.ReadAllTextAsync(scratch.At("out", "report.html"), TestContext.Current.CancellationToken);
        using PdfDocument pdf = PdfDocument.Open(scratch.At("out", "report.pdf"));
        string text = string.Join(' ', pdf.GetPages().Select(p => string.Join(' ', p.GetWords().Select(w => w.Text))));
        foreach (string words in (string[])["Seal of S1: 1 leak path 91 mm, least 14.2 % at 11.", "could hide between", "set that the plan expects", "Seal strip of door S1", GapFlush.Seals.DoorSeal.Caution])
        {
            Assert.Contains(words, html, StringComparison.Ordinal);
            Assert.Contains(words, text, StringComparison.Ordinal);
        }
        run = await CommandRun.Of("inspect", Plan, "--build", "D4-021", "--readings", Readings("D4-021"), "--out", scratch.At("out"), "--json");
        using JsonDocument json = JsonDocument.Parse(run.Output);
        JsonElement seal = json.RootElement.GetProperty("doors").EnumerateArray().Single(d => d.GetProperty("door").GetString() == "S1").GetProperty("seal");
        JsonElement leak = Assert.Single(seal.GetProperty("leak_runs").EnumerateArray());
        Assert.Equal("11", leak.GetProperty("least_at").GetString());
        Assert.InRange(leak.GetProperty("length_mm").GetDouble(), 85, 97);
        Assert.True(seal.GetProperty("aged_leak_runs")[0].GetProperty("length_mm").GetDouble() > leak.GetProperty("length_mm").GetDouble());
        Assert.True(seal.GetProperty("handle_force_n").GetDouble() is > 50 and < 120);
        Assert.Equal(54, seal.GetProperty("stations").GetArrayLength());
    }

    [Fact]
    public async Task Check_tells_what_a_plan_lacks_for_its_seals()
    {
        using ScratchFolder scratch = new();
        Directory.CreateDirectory(scratch.At("plan"));
        foreach (string file in Directory.EnumerateFiles(Plan)) File.Copy(file, scratch.At("plan", Path.GetFileName(file)));
        Assert.Equal(0, (await CommandRun.Of("check", scratch.At("plan"))).ExitCode);
        File.Delete(scratch.At("plan", "seal-curves.csv"));
        CommandRun run = await CommandRun.Of("check", scratch.At("plan"));
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("doubt  plan  seal-plan  P1: limits.csv limits the closing load and handle force of P1, and seal-curves.csv gives no load curve for seal DB-8, DB-9. (limits.csv) Add the points", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_pdf_says_what_the_page_says_and_both_carry_the_caution()
    {
        using ScratchFolder scratch = new();
        await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At("out"), "--quiet");
        string html = await File.ReadAllTextAsync(scratch.At("out", "report.html"), TestContext.Current.CancellationToken);
        using PdfDocument pdf = PdfDocument.Open(scratch.At("out", "report.pdf"));
        string text = string.Join(' ', pdf.GetPages().Select(p => string.Join(' ', p.GetWords().Select(w => w.Text))));
        foreach (string words in (string[])["The answer", "How the door hangs", "Sources of uncertainty", "Sign-off", "licensed staff", "95 % interval", "J. Avocet"])
        {
            Assert.Contains(words, html, StringComparison.Ordinal);
            Assert.Contains(words, text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Names_from_files_are_escaped_everywhere()
    {
        using ScratchFolder scratch = new();
        const string serial = "=1+<b>&\"D4";
        string sheet = (await File.ReadAllTextAsync(Readings("D4-017"), TestContext.Current.CancellationToken)).Replace("D4-017", "\"=1+<b>&\"\"D4\"", StringComparison.Ordinal);
        await File.WriteAllTextAsync(scratch.At("sheet.csv"), sheet, TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", serial, "--readings", scratch.At("sheet.csv"), "--out", scratch.At("out"), "--quiet");
        Assert.Equal(1, run.ExitCode);
        string html = await File.ReadAllTextAsync(scratch.At("out", "report.html"), TestContext.Current.CancellationToken);
        Assert.DoesNotContain("<b>", html, StringComparison.Ordinal);
        Assert.Contains("=1+&lt;b&gt;&amp;", html, StringComparison.Ordinal);
        System.Xml.Linq.XDocument.Load(scratch.At("out", "map-P1.svg"));   // well formed, or this throws
        string csv = await File.ReadAllTextAsync(scratch.At("out", "results.csv"), TestContext.Current.CancellationToken);
        Assert.Contains("\n\"'=1+<b>&\"\"D4\",", csv, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_build_that_no_file_holds_is_refused_with_those_it_holds()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-071", "--readings", Readings("D4-017"), "--out", scratch.At("out"));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("--build: expected a build that the reading files hold, found 'D4-071'. Did you mean 'D4-017'?", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(scratch.At("out")));
    }

    [Fact]
    public async Task A_map_drawn_from_results_is_the_map_of_the_inspection_but_for_the_readings_own_facts()
    {
        using ScratchFolder scratch = new();
        await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At("out"), "--quiet");
        CommandRun run = await CommandRun.Of("map", Plan, "--door", "P1", "--results", scratch.At("out", "results.csv"), "--out", scratch.At("p1.svg"), "--quiet");
        Assert.Equal((0, "", ""), (run.ExitCode, run.Output, run.Error));
        Assert.Equal(Group(scratch.At("out", "map-P1.svg"), "ribbon-gap"), Group(scratch.At("p1.svg"), "ribbon-gap"));
        Assert.Equal(Group(scratch.At("out", "map-P1.svg"), "labels"), Group(scratch.At("p1.svg"), "labels"));

        static string Group(string file, string id) => System.Xml.Linq.XDocument.Load(file).Descendants().Single(e => (string?)e.Attribute("id") == id).ToString();
    }

    [Theory]
    [InlineData("route.svg", "<svg")]
    [InlineData("route.png", "\u0089PNG")]
    [InlineData("route.pdf", "%PDF")]
    public async Task A_route_sheet_is_written_in_every_kind_of_file(string name, string start)
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("map", Plan, "--door", "P1", "--blank", "--out", scratch.At(name), "--quiet");
        Assert.Equal((0, "", ""), (run.ExitCode, run.Output, run.Error));
        string text = System.Text.Encoding.Latin1.GetString(File.ReadAllBytes(scratch.At(name)));
        Assert.StartsWith(start, text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_route_sheet_of_several_doors_in_a_file_for_one_is_refused()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("map", Plan, "--blank", "--out", scratch.At("route.png"), "--quiet");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("the plan has several doors (P1, S1, B1), and a .png file holds one; choose with --door, or write a .pdf.", run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(scratch.At("route.png")));
    }

    [Fact]
    public async Task No_id_stands_twice_in_the_page()
    {
        using ScratchFolder scratch = new();
        await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", Readings("D4-017"), "--out", scratch.At("out"), "--quiet");
        string[] ids = [.. System.Text.RegularExpressions.Regex.Matches(File.ReadAllText(scratch.At("out", "report.html")), " id=\"([^\"]*)\"").Select(m => m.Groups[1].Value)];
        Assert.NotEmpty(ids);
        Assert.Empty(ids.GroupBy(i => i).Where(g => g.Count() > 1).Select(g => g.Key));
    }

    private static string Readings(string build) => Path.Combine(Plan, "readings", build + ".csv");
}
