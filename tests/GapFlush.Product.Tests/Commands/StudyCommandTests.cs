using System.Text.Json;
using GapFlush.Cli;
using GapFlush.Demo;

namespace GapFlush.Product.Tests.Commands;

/// <summary>The four studies over many builds, run as a user runs them on the demo.</summary>
public sealed class StudyCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("gapflush-studies").FullName;

    public StudyCommandTests()
    {
        foreach (DemoFile file in Dabchick.Write().Where(f => !f.Path.StartsWith("truth", StringComparison.Ordinal)))
        {
            string path = Path.Combine(_folder, file.Path);
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.WriteAllBytes(path, file.Bytes);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string[] Readings => ["--readings", .. Directory.EnumerateFiles(Path.Combine(_folder, "readings"), "*.csv").Order(StringComparer.Ordinal)];

    [Fact]
    public async Task Capability_gives_every_key_of_the_contract_and_nothing_else_on_standard_output()
    {
        (int exit, string output, string error) = await Run(["capability", _folder, .. Readings, "--characteristic", "gap", "--json", "--quiet"]);
        Assert.InRange(exit, 0, 1);
        Assert.Empty(error);
        JsonElement first = JsonDocument.Parse(output).RootElement[0];
        foreach (string key in new[] { "door", "zone", "station", "characteristic", "stage", "n", "mean", "sd_within", "sd_overall", "lower", "upper", "cp", "cpk", "pp", "ppk", "ppk_lower_95", "ppk_upper_95", "method", "normality_a2", "normality_p", "fraction_outside", "in_control" })
            Assert.True(first.TryGetProperty(key, out _), key);
        Assert.True(first.GetProperty("ppk_lower_95").GetDouble() < first.GetProperty("ppk").GetDouble());
    }

    [Theory]
    [InlineData("zone")]
    [InlineData("door")]
    public async Task Capability_of_places_counts_builds_not_readings(string by)
    {
        (_, string output, _) = await Run(["capability", _folder, .. Readings, "--characteristic", "flush", "--by", by, "--json", "--quiet"]);
        foreach (JsonElement line in JsonDocument.Parse(output).RootElement.EnumerateArray()) Assert.InRange(line.GetProperty("n").GetInt32(), 1, 30);
    }

    [Fact]
    public async Task Trend_answers_in_the_first_line_and_writes_its_report()
    {
        string report = Path.Combine(_folder, "trend");
        (int exit, string output, _) = await Run(["trend", _folder, .. Readings, "--door", "B1", "--characteristic", "flush", "--out", report, "--quiet"]);
        Assert.InRange(exit, 0, 1);
        Assert.Matches("^(Stable|Look into it): ", output);
        Assert.Equal(["report.html", "report.pdf", "result.json"], Directory.EnumerateFiles(report).Select(f => Path.GetFileName(f)).Order(StringComparer.Ordinal));
        using UglyToad.PdfPig.PdfDocument pdf = UglyToad.PdfPig.PdfDocument.Open(Path.Combine(report, "report.pdf"));
        UglyToad.PdfPig.Content.Page page = pdf.GetPage(1);
        // A4 upright, in points; the charts that follow lie across.
        Assert.Equal((595, 842), ((int)Math.Round(page.Width), (int)Math.Round(page.Height)));
        Assert.All(pdf.GetPages(), p => Assert.Contains(((int)Math.Round(p.Width), (int)Math.Round(p.Height)), new[] { (595, 842), (842, 595) }));
        string first = string.Join(' ', page.GetWords().Take(3).Select(w => w.Text));
        Assert.Matches("^(Stable: none|Look into it:)", first);
        string html = File.ReadAllText(Path.Combine(report, "report.html"));
        Assert.Matches("<h1>(Stable: none|Look into it:)", html);
        foreach (string words in new[] { "Run rules", "First-pass yield", "Wilson", "What costs most rework", "CUSUM", "EWMA", "moving range" }) Assert.Contains(words, html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Revisions_finds_the_planted_mould_shift_of_the_demo()
    {
        (int exit, string output, _) = await Run(["revisions", _folder, .. Readings, "--door", "P1", "--quiet"]);
        Assert.Equal(1, exit);
        Assert.StartsWith("Yes: door mould C differs from B on P1", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Gauge_study_of_the_demo_is_analysed()
    {
        string study = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First();
        (int exit, string output, _) = await Run(["gauge-study", _folder, "--readings", study, "--json", "--quiet"]);
        Assert.Equal(0, exit);
        JsonElement gap = JsonDocument.Parse(output).RootElement[0];
        // Planted repeatability of the taper gauge: 0.035 mm, and 0.010 mm of inspector by place, pooled with it here; rounding to its step adds to it.
        Assert.True(gap.GetProperty("repeatability_sd_lower_95").GetDouble() < 0.0375);
        Assert.Equal(10, gap.GetProperty("places").GetInt32());
    }

    [Theory]
    [InlineData("capability", "--characteristic", "gapp", "no characteristic 'gapp'")]
    [InlineData("trend", "--rules", "lucky", "no run rule 'lucky'")]
    [InlineData("revisions", "--door", "Q9", "Q9")]
    public async Task A_wrong_word_is_refused_with_what_is_known(string command, string option, string word, string said)
    {
        (int exit, string output, string error) = await Run([command, _folder, .. Readings, option, word]);
        Assert.Equal(2, exit);
        Assert.Empty(output);
        Assert.Contains(said, error, StringComparison.Ordinal);
    }

    private static async Task<(int Exit, string Output, string Error)> Run(string[] args)
    {
        using StringWriter output = new(), error = new();
        int exit = await Program.Run(args, output, error);
        return (exit, output.ToString(), error.ToString());
    }
}
