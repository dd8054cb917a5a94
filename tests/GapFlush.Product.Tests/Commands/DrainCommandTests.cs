using System.Text.Json;
using GapFlush.Cli;
using GapFlush.Geometry;
using GapFlush.Tests;

namespace GapFlush.Product.Tests.Commands;

public class DrainCommandTests
{
    private static string Demo => Path.Combine(Fixture.Root, "fixtures", "dabchick");

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
    [InlineData("--build", "D4-021", "no --levels (or --scan) are given, nor --readings")]
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

    [Fact]
    public async Task A_scan_of_a_sagging_sill_is_judged()
    {
        // The floor of S1-sill as a text scan in the plan's axes: nominal but for a sag of 6 mm at point 8.
        string[][] rows = [.. File.ReadLines(Path.Combine(Demo, "channels.csv")).Skip(1).Select(l => l.Split(',')).Where(r => r[0] == "S1-sill")];
        double[] x = [.. rows.Select(r => double.Parse(r[3]))], y = [.. rows.Select(r => double.Parse(r[4]))], z = [.. rows.Select((r, i) => double.Parse(r[5]) - (i == 7 ? 6 : 0))];
        string path = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName() + ".txt");
        try
        {
            using (StreamWriter scan = new(path))
            {
                for (int i = 0; i + 1 < x.Length; i++)
                {
                    for (int k = 0; k < 60; k++)
                    {
                        for (int w = -6; w <= 6; w++) scan.WriteLine(FormattableString.Invariant($"{x[i] + (x[i + 1] - x[i]) * k / 60:0.####} {y[i] + (y[i + 1] - y[i]) * k / 60 + w:0.####} {z[i] + (z[i + 1] - z[i]) * k / 60:0.####}"));
                    }
                }
            }
            (int exit, string output, string error) = await Run("drain", Demo, "--scan", path, "--aligned", "--json");
            Assert.True(exit == 1, error);
            using JsonDocument json = JsonDocument.Parse(output);
            JsonElement level = json.RootElement.EnumerateArray().First(e => e.GetProperty("channel").GetString() == "S1-sill" && e.GetProperty("attitude").GetString() == "afloat-level");
            JsonElement pond = level.GetProperty("ponds")[0];
            Assert.Equal("8", pond.GetProperty("low_point").GetString());
            // Sill of the pond: the next point towards the aft outlet, 6 mm above the sag less what the floor falls on.
            Assert.Equal(z[8] - z[7], pond.GetProperty("depth_mm").GetDouble(), 0.05);
            Assert.Equal("missing", json.RootElement.EnumerateArray().First(e => e.GetProperty("channel").GetString() == "P1-hoop").GetProperty("verdict").GetString());
            (exit, output, error) = await Run("drain", Demo, "--scan", path);
            Assert.Equal((2, ""), (exit, output));
            Assert.Contains("needs either --targets", error);
        }
        finally
        {
            File.Delete(path);
        }
    }

    [Fact]
    public async Task A_scan_in_its_own_axes_is_laid_by_targets()
    {
        // The nominal floor of S1-sill, sagging by 6 mm at point 8, turned and moved; targets likewise.
        RigidMotion pose = RigidMotion.About(new(2400, 450, 200), new(0.2, -0.4, 0.9), new(900, -300, 150));
        string[][] rows = [.. File.ReadLines(Path.Combine(Demo, "channels.csv")).Skip(1).Select(l => l.Split(',')).Where(r => r[0] == "S1-sill")];
        Point3[] floor = [.. rows.Select((r, i) => new Point3(double.Parse(r[3]), double.Parse(r[4]), double.Parse(r[5]) - (i == 7 ? 6 : 0)))];
        using ScratchFolder scratch = new();
        using (StreamWriter scan = new(scratch.At("scan.txt")))
        {
            for (int i = 0; i + 1 < floor.Length; i++)
            {
                for (int k = 0; k < 60; k++)
                {
                    for (int w = -6; w <= 6; w++) Write(scan, "", floor[i] + k / 60.0 * (floor[i + 1] - floor[i]) + new Vector3(0, w, 0), " ");
                }
            }
        }
        using (StreamWriter targets = new(scratch.At("targets.csv")))
        {
            targets.WriteLine("datum,x,y,z");
            foreach (string[] d in File.ReadLines(Path.Combine(Demo, "datums.csv")).Skip(1).Select(l => l.Split(',')).Where(d => d[0].StartsWith("S1", StringComparison.Ordinal)))
                Write(targets, d[0] + ",", new(double.Parse(d[1]), double.Parse(d[2]), double.Parse(d[3])), ",");
        }
        (int exit, string output, string error) = await Run("drain", Demo, "--scan", scratch.At("scan.txt"), "--targets", scratch.At("targets.csv"), "--json");
        Assert.True(exit == 1, error);
        using JsonDocument json = JsonDocument.Parse(output);
        JsonElement pond = json.RootElement.EnumerateArray().First(e => e.GetProperty("channel").GetString() == "S1-sill" && e.GetProperty("attitude").GetString() == "afloat-level").GetProperty("ponds")[0];
        Assert.Equal("8", pond.GetProperty("low_point").GetString());
        Assert.Equal(floor[8].Z - floor[7].Z, pond.GetProperty("depth_mm").GetDouble(), 0.05);

        // A target far off is named and left out where the others agree without it; nothing else changes.
        string[] lines = File.ReadAllLines(scratch.At("targets.csv"));
        lines[3] = "S1-T3,0,0,0";
        File.WriteAllLines(scratch.At("wrong.csv"), lines);
        (exit, output, error) = await Run("drain", Demo, "--scan", scratch.At("scan.txt"), "--targets", scratch.At("wrong.csv"), "--json");
        Assert.True(exit == 1, error);
        Assert.Contains("S1-T3", error);
        Assert.Contains("left out", error);
        using JsonDocument without = JsonDocument.Parse(output);
        pond = without.RootElement.EnumerateArray().First(e => e.GetProperty("channel").GetString() == "S1-sill" && e.GetProperty("attitude").GetString() == "afloat-level").GetProperty("ponds")[0];
        Assert.Equal(floor[8].Z - floor[7].Z, pond.GetProperty("depth_mm").GetDouble(), 0.05);

        // Of four there are too few to leave one out.
        File.WriteAllLines(scratch.At("few.csv"), lines[..5]);
        (exit, output, error) = await Run("drain", Demo, "--scan", scratch.At("scan.txt"), "--targets", scratch.At("few.csv"));
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains("S1-T3", error);

        void Write(StreamWriter to, string before, Point3 place, string between)
        {
            Point3 p = pose.Of(place);
            to.WriteLine(FormattableString.Invariant($"{before}{p.X:0.0000}{between}{p.Y:0.0000}{between}{p.Z:0.0000}"));
        }
    }

    private static string Levels(string build) => Path.Combine(Demo, "levels", build + ".csv");

    private static async Task<(int Exit, string Output, string Error)> Run(params string[] args)
    {
        using StringWriter output = new(), error = new();
        int exit = await Program.Run(args, output, error);
        return (exit, output.ToString(), error.ToString());
    }
}
