using System.Text.Json;
using GapFlush.Cli;

namespace GapFlush.Product.Tests.Commands;

public class DrainCommandTests
{
    private static string Demo => Path.Combine(Root.Path, "fixtures", "dabchick");

    [Fact]
    public async Task The_plan_alone_is_judged_and_drains()
    {
        (int exit, string output, string error) = await Run("drain", Demo);
        Assert.Equal(0, exit);
        Assert.Contains("5 channels in 5 attitudes: all within.", output);
        Assert.Contains("a water test decides", output);
        Assert.Contains("No seal readings", error);
    }

    [Fact]
    public async Task The_sagging_sill_is_outside()
    {
        (int exit, string output, _) = await Run("drain", Demo, "--build", "D4-021", "--levels", Levels("D4-021"));
        Assert.Equal(1, exit);
        Assert.Contains("S1-sill (door S1): outside", output);
        Assert.Contains("pond 4.73 mm deep at point 8", output);
    }

    [Fact]
    public async Task Json_is_all_that_goes_to_standard_output()
    {
        (int exit, string output, string error) = await Run("drain", Demo, "--levels", Levels("D4-021"), "--json", "--quiet");
        Assert.Equal((1, ""), (exit, error));
        using JsonDocument json = JsonDocument.Parse(output);
        Assert.Equal(25, json.RootElement.GetArrayLength());
    }

    [Theory]
    [InlineData("--build", "D4-021", "no --levels are given")]
    [InlineData("--levels", "nowhere.csv", "nowhere.csv")]
    public async Task A_wrong_call_is_told_and_prints_nothing(string option, string value, string message)
    {
        (int exit, string output, string error) = await Run("drain", Demo, option, value);
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains(message, error);
    }

    [Fact]
    public async Task Levels_of_another_build_are_refused()
    {
        (int exit, string output, string error) = await Run("drain", Demo, "--build", "D4-017", "--levels", Levels("D4-021"));
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains("expected levels of build D4-017, found 'D4-021'.", error);
    }

    private static string Levels(string build) => Path.Combine(Demo, "levels", build + ".csv");

    private static async Task<(int Exit, string Output, string Error)> Run(params string[] args)
    {
        using StringWriter output = new(), error = new();
        int exit = await Program.Run(args, output, error);
        return (exit, output.ToString(), error.ToString());
    }
}
