using System.Text.Json;
using GapFlush.Tests;

namespace GapFlush.Product.Tests.Commands;

public class AdjustCommandTests
{
    private static string Demo => Path.Combine(Fixture.Root, "fixtures", "dabchick");

    private static string Sheet(string build) => Path.Combine(Demo, "readings", build + ".csv");

    [Fact]
    public async Task The_work_instruction_says_what_to_move_which_way_and_what_to_expect()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--quiet");
        Assert.InRange(run.ExitCode, 0, 1);
        Assert.Equal("", run.Error);
        Assert.Matches(@"(?m)^  1\. \S+: move the door \d\.\d\d mm (out|in|aft|forward|up|down) there", run.Output);
        Assert.Contains("approved maintenance data, by licensed staff", run.Output);
        Assert.Contains("Probability that all of these are within their limits", run.Output);
        Assert.Contains("hold the six movements of the door, each once", run.Output);
        Assert.Matches(@"1 mm (out|in) at upper-hinge-shim: ", run.Output);
    }

    [Fact]
    public async Task Two_latches_that_can_bend_the_baggage_door_are_named()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "B1", "--readings", Sheet("D4-017"), "--quiet");
        Assert.InRange(run.ExitCode, 0, 1);
        Assert.Matches(@"Held more than once: .*upper-latch.*lower-latch.* can fight one another", run.Output);
    }

    [Fact]
    public async Task Json_has_the_promised_keys_and_nothing_else_goes_to_standard_output()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--json", "--quiet");
        using JsonDocument json = JsonDocument.Parse(run.Output);
        JsonElement root = json.RootElement;
        Assert.Equal("P1", root.GetProperty("door").GetString());
        Assert.Equal(6, root.GetProperty("moves").GetArrayLength());
        Assert.All(root.GetProperty("moves").EnumerateArray(), m => Assert.True(m.GetProperty("adjuster").GetString()!.Length > 0 && Math.Abs(m.GetProperty("move_mm").GetDouble()) <= 2));
        Assert.Equal(3, root.GetProperty("displacement").GetProperty("translation_mm").GetArrayLength());
        Assert.Equal(3, root.GetProperty("displacement").GetProperty("rotation_mrad").GetArrayLength());
        Assert.True(root.GetProperty("after").GetProperty("beyond_limits").GetInt32() <= root.GetProperty("before").GetProperty("beyond_limits").GetInt32());
        JsonElement station = root.GetProperty("stations")[0];
        Assert.All((string[])["gap_after", "flush_after", "compression_after"], key => Assert.Equal(JsonValueKind.Number, station.GetProperty(key).ValueKind));
        Assert.False(string.IsNullOrEmpty(station.GetProperty("verdict_after").GetString()));
        Assert.All(root.GetProperty("not_curable").EnumerateArray(), n => Assert.False(string.IsNullOrEmpty(n.GetProperty("characteristic").GetString())));
    }

    [Fact]
    public async Task Two_runs_give_the_same_bytes()
    {
        string[] call = ["adjust", Demo, "--build", "D4-003", "--door", "S1", "--readings", Sheet("D4-003"), "--json", "--quiet"];
        Assert.Equal((await CommandRun.Of(call)).Output, (await CommandRun.Of(call)).Output);
    }

    [Theory]
    [InlineData("P9", "a door of the plan")]
    [InlineData("p1", "a door of the plan")]
    public async Task An_unknown_door_is_refused(string door, string message)
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", door, "--readings", Sheet("D4-017"));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains(message, run.Error);
    }

    [Fact]
    public async Task A_call_without_readings_is_refused()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1");
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains("no readings are given", run.Error);
    }

    [Fact]
    public async Task A_build_that_is_not_in_the_sheet_is_refused()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-018", "--door", "P1", "--readings", Sheet("D4-017"));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains("D4-017", run.Error);
    }

    [Fact]
    public async Task A_plan_without_adjusters_is_refused_by_the_name_of_the_file()
    {
        using ScratchFolder scratch = new();
        foreach (string file in Directory.EnumerateFiles(Demo).Where(f => Path.GetFileName(f) != "adjusters.csv")) File.Copy(file, scratch.At(Path.GetFileName(file)));
        CommandRun run = await CommandRun.Of("adjust", scratch.Path, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains("adjusters.csv", run.Error);
        Assert.Contains("The plan has no adjusters.csv", run.Error);
    }

    [Fact]
    public async Task A_door_without_readings_is_refused()
    {
        using ScratchFolder scratch = new();
        File.WriteAllLines(scratch.At("s1.csv"), File.ReadLines(Sheet("D4-017")).Where((l, i) => i == 0 || l.Contains(",S1,")));
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", scratch.At("s1.csv"));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains("Read the door first", run.Error);
    }

    [Fact]
    public async Task Flush_alone_does_not_tell_where_the_door_lies_in_its_opening_so_those_moves_are_held()
    {
        using ScratchFolder scratch = new();
        File.WriteAllLines(scratch.At("flush.csv"), File.ReadLines(Sheet("D4-017")).Where((l, i) => i == 0 || (l.Contains(",P1,") && l.Contains(",flush,"))));
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", scratch.At("flush.csv"), "--quiet");
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("upper-hinge-slot is left alone: the readings do not show what this move does.", run.Output);
        Assert.Contains("limited values are missing", run.Output);
    }

    [Fact]
    public async Task The_record_serves_as_well_as_the_sheet()
    {
        using ScratchFolder scratch = new();
        await CommandRun.Of("record", "add", Demo, Sheet("D4-017"), "--record", scratch.At("r.sqlite"), "--by", "A. Teal", "--quiet");
        CommandRun sheet = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--json", "--quiet");
        CommandRun record = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--record", scratch.At("r.sqlite"), "--json", "--quiet");
        Assert.Equal(sheet.Output, record.Output);
        CommandRun both = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--record", scratch.At("r.sqlite"));
        Assert.Equal(2, both.ExitCode);
        Assert.Contains("give one of them", both.Error);
    }

    [Fact]
    public async Task A_folder_gets_the_page_and_the_maps_of_before_and_after()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--out", scratch.At("out"), "--quiet");
        Assert.InRange(run.ExitCode, 0, 1);
        Assert.Equal(["adjust.html", "adjust.pdf", "map-P1-after.png", "map-P1-after.svg", "map-P1-before.png", "map-P1-before.svg"],
            Directory.EnumerateFiles(scratch.At("out")).Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal));
        string page = File.ReadAllText(scratch.At("out", "adjust.html"));
        Assert.Contains("reckoned, not read", page);
        // The steps on paper are those on the screen.
        string first = run.Output.Split('\n').First(l => l.StartsWith("  1. ", StringComparison.Ordinal)).Trim();
        Assert.Contains(first[3..], page);
    }

    [Fact]
    public async Task The_report_of_an_inspection_says_what_to_move_for_a_door_that_is_outside_and_only_for_that()
    {
        using ScratchFolder scratch = new();
        await CommandRun.Of("inspect", Demo, "--build", "D4-017", "--readings", Sheet("D4-017"), "--out", scratch.At("out"), "--quiet");
        string page = File.ReadAllText(scratch.At("out", "report.html"));
        Assert.Equal(2, page.Split("What to move").Length);   // P1 is outside, S1 and B1 are not
        CommandRun adjust = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--readings", Sheet("D4-017"), "--quiet");
        foreach (string step in adjust.Output.Split('\n').Where(l => l.StartsWith("  1. ", StringComparison.Ordinal) || l.StartsWith("  2. ", StringComparison.Ordinal))) Assert.Contains(step.Trim()[3..], page);
    }

    [Fact]
    public async Task A_scan_alone_is_advised_on_and_every_station_has_its_effects()
    {
        CommandRun run = await CommandRun.Of("adjust", Demo, "--build", "D4-017", "--door", "P1", "--scan", $"P1={Path.Combine(Demo, "scans", "D4-017-P1.ply")}", "--targets", $"P1={Path.Combine(Demo, "scans", "D4-017-P1-targets.csv")}", "--stage", "trial-fit", "--quiet");
        Assert.InRange(run.ExitCode, 0, 1);
        Assert.Matches(@"(?m)^  1\. \S+: move the door", run.Output);
        Assert.DoesNotContain("cannot be told from readings", run.Output);
        string[] table = run.Output[run.Output.IndexOf("The same at each station", StringComparison.Ordinal)..].Split('\n');
        // Six adjusters, three beside each other: two blocks of 54 stations, and no line longer than a hundred characters.
        Assert.Equal(108, table.Count(l => System.Text.RegularExpressions.Regex.IsMatch(l, @"^  \d+ ")));
        Assert.All(table, l => Assert.True(l.Length <= 100, l));
    }
}
