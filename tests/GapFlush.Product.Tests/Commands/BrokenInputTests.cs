using GapFlush.Tests;
using GapFlush.Tests.Plan;

namespace GapFlush.Product.Tests.Commands;

/// <summary>Every malformed plan and reading file, met as a user meets it: its message, exit code 2, no stack trace, nothing written.</summary>
public class BrokenInputTests
{
    private static readonly string Broken = Fixture.At("broken", "readings");

    public static TheoryData<string> Plans => [.. MalformedPlans.Slips.Where(s => !s.Name.Contains("file twice", StringComparison.Ordinal)).Select(s => s.Name)];

    public static TheoryData<string, string> ReadingFiles => [.. File.ReadAllLines(Path.Combine(Broken, "messages.txt")).Where(l => l.Length > 0).Select(l => l.Split('\t', 2)).Select(p => (p[0], p[1]))];

    [Theory]
    [MemberData(nameof(Plans))]
    public async Task A_malformed_plan_is_refused(string name)
    {
        (_, Func<SmallPlan, SmallPlan> slip, string message) = MalformedPlans.Slips.Single(s => s.Name == name);
        using ScratchFolder scratch = new();
        Directory.CreateDirectory(scratch.At("plan"));
        foreach ((string file, string text) in slip(new SmallPlan()).Texts) await File.WriteAllTextAsync(scratch.At("plan", file), text, TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of("inspect", scratch.At("plan"), "--build", "T1", "--readings", Path.Combine(Broken, "empty.csv"), "--out", scratch.At("out"));
        Refused(run, scratch);
        // The message of the table, with the path as the user gave it before the file's name.
        Assert.Contains(message[(message.IndexOf(':', StringComparison.Ordinal) + 1)..], run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(ReadingFiles))]
    public async Task A_malformed_reading_file_is_refused(string name, string message)
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Path.Combine(Broken, "plan"), "--build", "T1-001", "--readings", Path.Combine(Broken, name), "--out", scratch.At("out"));
        Refused(run, scratch);
        Assert.Contains($"{name}:{message}\n", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Check_tells_of_reading_files_too_when_the_plan_is_refused()
    {
        (_, Func<SmallPlan, SmallPlan> slip, string message) = MalformedPlans.Slips.Single(s => s.Name == "an unknown gap definition");
        using ScratchFolder scratch = new();
        Directory.CreateDirectory(scratch.At("plan"));
        foreach ((string file, string text) in slip(new SmallPlan()).Texts) await File.WriteAllTextAsync(scratch.At("plan", file), text, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(scratch.At("sheet.csv"), "build,door,station,characteristic\nT1,P1,1,gap\n", TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of("check", scratch.At("plan"), "--readings", scratch.At("sheet.csv"));
        Refused(run, scratch);
        Assert.Contains(message[(message.IndexOf(':', StringComparison.Ordinal) + 1)..], run.Error, StringComparison.Ordinal);
        Assert.Contains("sheet.csv:1: column value: expected", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("gapflush: there is no folder 'nowhere'; give the fit plan's folder, which holds plan.json, stations.csv and limits.csv.", "check", "nowhere")]
    [InlineData("Required argument 'PLAN' missing for command", "check")]
    [InlineData("Option '--build' is required.", "inspect", "x", "--out", "y")]
    [InlineData("Unrecognized command or argument 'inspekt'.", "inspekt")]
    public async Task A_call_that_is_wrong_is_refused(string message, params string[] args)
    {
        CommandRun run = await CommandRun.Of(args);
        Assert.Equal(2, run.ExitCode);
        Assert.Equal("", run.Output);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
    }

    private static void Refused(CommandRun run, ScratchFolder scratch)
    {
        Assert.Equal(2, run.ExitCode);
        Assert.Equal("", run.Output);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(scratch.At("out")), "something was written");
    }
}
