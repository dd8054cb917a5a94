using System.Globalization;
using GapFlush.Tests;

namespace GapFlush.Product.Tests.Commands;

/// <summary>Every slip in channels and levels, met as a user meets it: a message that names file, line and column, exit code 2, nothing printed.</summary>
public class DrainBrokenInputTests
{
    private static readonly string Demo = Fixture.At("dabchick");
    private static readonly string[] Channels = File.ReadAllLines(Path.Combine(Demo, "channels.csv"));
    private static readonly int First = Array.FindIndex(Channels, l => l.StartsWith("S1-sill,", StringComparison.Ordinal)), Last = Array.FindLastIndex(Channels, l => l.StartsWith("S1-sill,", StringComparison.Ordinal));

    public static TheoryData<string> Slips => ["unordered", "no outlet", "closed loop", "missing width", "missing depth", "hole without diameter"];

    [Theory]
    [MemberData(nameof(Slips))]
    public async Task A_slip_in_the_channels_is_refused_by_drain_and_check(string slip)
    {
        (string[] lines, string message) = Made(slip);
        using ScratchFolder scratch = new();
        await WritePlan(scratch, lines);
        foreach (string command in (string[])["drain", "check"])
        {
            CommandRun run = await CommandRun.Of(command, scratch.At("plan"));
            Assert.Equal((2, ""), (run.ExitCode, run.Output));
            Assert.Contains(message, run.Error, StringComparison.Ordinal);
            Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData(1 / 25.4, "look like inches; write in in column unit.")]
    [InlineData(0.001, "look like metres; write m in column unit.")]
    [InlineData(1000, "look like micrometres; write um in column unit.")]
    public async Task Heights_in_another_unit_are_refused_by_drain_inspect_and_check(double factor, string message)
    {
        using ScratchFolder scratch = new();
        string[] levels = File.ReadAllLines(Path.Combine(Demo, "levels", "D4-021.csv"));
        await File.WriteAllLinesAsync(scratch.At("levels.csv"), [levels[0], .. levels.Skip(1).Select(l => l.Split(',')).Select(c => string.Join(',', [.. c[..3], (double.Parse(c[3], CultureInfo.InvariantCulture) * factor).ToString("0.######", CultureInfo.InvariantCulture), c[4]]))],
            TestContext.Current.CancellationToken);
        foreach (string[] call in (string[][])[["drain", Demo], ["check", Demo], ["inspect", Demo, "--build", "D4-021", "--readings", Path.Combine(Demo, "readings", "D4-021.csv"), "--out", scratch.At("out")]])
        {
            CommandRun run = await CommandRun.Of([.. call, "--levels", scratch.At("levels.csv")]);
            Assert.Equal((2, ""), (run.ExitCode, run.Output));
            Assert.Contains("levels.csv:2: column z: expected a height near 644.9 mm, as the plan has it, found '", run.Error, StringComparison.Ordinal);
            Assert.Contains($"The heights of channel P1-hoop {message}", run.Error, StringComparison.Ordinal);
        }
        Assert.False(Directory.Exists(scratch.At("out")));
    }

    [Theory]
    [InlineData(1 / 25.4, "All channels look like inches: times 25.4 they lie at their doors.")]
    [InlineData(0.001, "All channels look like metres: times 1000 they lie at their doors.")]
    public async Task Channels_in_another_unit_are_refused_by_drain_and_check(double factor, string message)
    {
        using ScratchFolder scratch = new();
        await WritePlan(scratch, [Channels[0], .. Channels.Skip(1).Select(l => l.Split(',')).Select(c => string.Join(',', [.. c[..3], .. c[3..6].Select(v => (double.Parse(v, CultureInfo.InvariantCulture) * factor).ToString("0.######", CultureInfo.InvariantCulture)), .. c[6..]]))]);
        foreach (string command in (string[])["drain", "check"])
        {
            CommandRun run = await CommandRun.Of(command, scratch.At("plan"));
            Assert.Equal((2, ""), (run.ExitCode, run.Output));
            Assert.Contains("channels.csv:2: column x,y,z: expected a place of channel P1-hoop at door P1, mm, found '", run.Error, StringComparison.Ordinal);
            Assert.Contains(message, run.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task An_outlet_that_nothing_reaches_is_told()
    {
        using ScratchFolder scratch = new();
        await WritePlan(scratch, [Channels[0], "roof,S1,a,2300,440,1000,rectangular,12,6,,0.01,open-end,,0.01,0.5", "roof,S1,b,2450,440,1100,,,,,,hole,8,0.01,", "roof,S1,c,2600,440,1000,,,,,,open-end,,0.01,"]);
        CommandRun run = await CommandRun.Of("drain", scratch.At("plan"), "--quiet");
        Assert.Contains("  outlet b: no water of this channel reaches it in any attitude.\n", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("outlet a:", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("D4-021,S1-sill,8,tall,0.08", "levels.csv:2: column z: expected a number")]
    [InlineData("D4-021,S1-sil,8,600,0.08", "levels.csv:2: column channel: expected a channel of channels.csv, found 'S1-sil'. Did you mean 'S1-sill'?")]
    [InlineData("D4-021,S1-sill,88,600,0.08", "levels.csv:2: column point: expected a point of channel S1-sill, found '88'.")]
    public async Task A_slip_in_a_level_is_refused_by_check(string row, string message)
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("levels.csv"), $"build,channel,point,z,uncertainty\n{row}\n", TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of("check", Demo, "--levels", scratch.At("levels.csv"));
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Check_says_that_sound_channels_levels_and_water_tests_can_be_used()
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("tests.csv"), "build,door,result\nD4-021,S1,wet\n", TestContext.Current.CancellationToken);
        CommandRun run = await CommandRun.Of("check", Demo, "--levels", Path.Combine(Demo, "levels", "D4-021.csv"), "--water-tests", scratch.At("tests.csv"), "--quiet");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("channels.csv: 5 drain channels, 80 points: can be used\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("80 levels of build D4-021: can be used\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("1 water tests: can be used\n", run.Output, StringComparison.Ordinal);
    }

    private static (string[] Lines, string Message) Made(string slip)
    {
        string[] lines = [.. Channels];
        switch (slip)
        {
            case "unordered":
                (lines[First + 4], lines[First + 5]) = (lines[First + 5], lines[First + 4]);
                return (lines, Invariant($"channels.csv:{First + 6}: column point: expected points in the order in which they follow one another along the channel, found '5'. Channel S1-sill turns back by"));
            case "no outlet":
                for (int i = First; i <= Last; i++) lines[i] = With(With(lines[i], 11, ""), 12, "");
                return (lines, Invariant($"channels.csv:{First + 1}: column outlet: expected an outlet of channel S1-sill, or of a channel it runs into, found nothing. Write open-end"));
            case "closed loop":
                // Out by another way, and back to the first point.
                string[] first = lines[First].Split(','), last = lines[Last].Split(',');
                string Point(string name, string[] at, int inward) => string.Join(',', ["S1-sill", "S1", name, at[3], (double.Parse(at[4], CultureInfo.InvariantCulture) - inward).ToString(CultureInfo.InvariantCulture), at[5], .. Enumerable.Repeat("", 9)]);
                return ([.. lines[..(Last + 1)], Point("x", last, 300), Point("y", first, 300), Point("z", first, 0), .. lines[(Last + 1)..]],
                    Invariant($"channels.csv:{Last + 4}: column point: expected a channel that runs from one end to another, found 'z'. Channel S1-sill comes back"));
            case "missing width":
                return (Without(7), Invariant($"channels.csv:{First + 1}: column width: expected the bottom width in mm, found nothing. A trapezoidal channel needs it; fill it in."));
            case "missing depth":
                return (Without(8), Invariant($"channels.csv:{First + 1}: column depth: expected the depth to the lip in mm, found nothing. A trapezoidal channel needs it; fill it in."));
            default:
                lines[First] = With(lines[First], 12, "");
                return (lines, Invariant($"channels.csv:{First + 1}: column outlet_diameter: expected the diameter of the hole in mm, found nothing. Fill it in."));
        }

        string[] Without(int column)
        {
            for (int i = First; i <= Last; i++) lines[i] = With(lines[i], column, "");
            return lines;
        }
    }

    private static string With(string line, int column, string value)
    {
        string[] cells = line.Split(',');
        cells[column] = value;
        return string.Join(',', cells);
    }

    private static async Task WritePlan(ScratchFolder scratch, string[] channels)
    {
        Directory.CreateDirectory(scratch.At("plan"));
        foreach (string file in Directory.EnumerateFiles(Demo)) File.Copy(file, scratch.At("plan", Path.GetFileName(file)));
        await File.WriteAllLinesAsync(scratch.At("plan", "channels.csv"), channels);
    }
}
