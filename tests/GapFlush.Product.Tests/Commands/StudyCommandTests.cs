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

    [Fact]
    public async Task Gauge_study_with_readings_lost_is_analysed_and_says_so()
    {
        string whole = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First(), some = Path.Combine(_folder, "some.csv");
        string[] lines = File.ReadAllLines(whole);
        // One inspector never came to station 8, and every seventh reading is lost.
        File.WriteAllLines(some, lines.Where((l, i) => i == 0 || i % 7 != 0 && !(l.Contains(",P1,8,", StringComparison.Ordinal) && l.Contains("M. Teal", StringComparison.Ordinal))));
        (int exit, string output, _) = await Run(["gauge-study", _folder, "--readings", some, "--quiet", "--out", Path.Combine(_folder, "some")]);
        Assert.Equal(0, exit);
        Assert.Contains("1 of 30 pairs of place and inspector not read (restricted maximum likelihood)", output, StringComparison.Ordinal);
        JsonElement gap = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder, "some", "result.json"))).RootElement[0];
        Assert.False(gap.GetProperty("balanced").GetBoolean());
        Assert.Equal(1, gap.GetProperty("missing_cells").GetInt32());
        // All readings give 0.055 mm; a sixth fewer must not move it far.
        Assert.InRange(gap.GetProperty("measuring").GetProperty("sd").GetDouble(), 0.045, 0.068);
        Assert.True(gap.GetProperty("measuring_sd_lower_95").GetDouble() < 0.055 && gap.GetProperty("measuring_sd_upper_95").GetDouble() > 0.055);
    }

    [Fact]
    public async Task Revisions_names_the_builds_that_lack_what_is_compared()
    {
        string sheet = Path.Combine(_folder, "readings", "D4-021.csv");
        File.WriteAllLines(sheet, File.ReadAllLines(sheet).Where(l => !l.Contains(",land_gap,", StringComparison.Ordinal)));
        (_, _, string error) = await Run(["revisions", _folder, .. Readings, "--door", "P1"]);
        Assert.Matches("notice: Seal compression is compared without 1 of [0-9]+ builds \\(D4-021\\): no land_gap was read", error);
    }

    [Fact]
    public async Task Gauge_study_writes_its_uncertainty_into_gauges_csv_and_leaves_every_other_line()
    {
        string study = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First(), gauges = Path.Combine(_folder, "gauges.csv");
        string[] before = File.ReadAllLines(gauges);
        await Run(["gauge-study", _folder, "--readings", study, "--update-gauges", "larger", "--quiet"]);
        Assert.Equal(before, File.ReadAllLines(gauges));   // both certificates are larger
        (int exit, string output, _) = await Run(["gauge-study", _folder, "--readings", study, "--update-gauges", "study", "--quiet", "--out", Path.Combine(_folder, "gs")]);
        Assert.Equal(0, exit);
        Assert.Contains("was 0.12 mm", output, StringComparison.Ordinal);
        string[] after = File.ReadAllLines(gauges);
        Assert.Equal(before.Length, after.Length);
        for (int i = 0; i < before.Length; i++)
        {
            if (before[i].StartsWith("TG-11,", StringComparison.Ordinal) || before[i].StartsWith("SG-04,", StringComparison.Ordinal))
            {
                Assert.NotEqual(before[i], after[i]);
                Assert.Equal(before[i].Split(',').Where((_, c) => c != 3), after[i].Split(',').Where((_, c) => c != 3));
            }
            else Assert.Equal(before[i], after[i]);
        }
        Assert.True(File.Exists(Path.Combine(_folder, "gs", "report.pdf")));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Where_gauges_csv_cannot_be_written_nothing_is_written_and_nothing_is_said_to_be(bool withReport)
    {
        string study = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First(), gauges = Path.Combine(_folder, "gauges.csv"), report = Path.Combine(_folder, "gs");
        byte[] before = File.ReadAllBytes(gauges);
        // What stands in the way of the temporary name stops the writing, whoever runs the test.
        Directory.CreateDirectory($"{gauges}.{Environment.ProcessId}.part");
        (int exit, string output, string error) = await Run(["gauge-study", _folder, "--readings", study, "--update-gauges", "study", .. withReport ? new[] { "--out", report } : []]);
        Assert.Equal((2, ""), (exit, output));
        Assert.NotEmpty(error);
        Assert.DoesNotContain("report:", error, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllBytes(gauges));
        Assert.Empty(Directory.Exists(report) ? Directory.EnumerateFiles(report) : []);
    }

    [Fact]
    public async Task Where_the_report_cannot_be_written_gauges_csv_stays_as_it_was()
    {
        string study = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First(), gauges = Path.Combine(_folder, "gauges.csv"), file = Path.Combine(_folder, "in-the-way");
        byte[] before = File.ReadAllBytes(gauges);
        File.WriteAllText(file, "");
        (int exit, string output, _) = await Run(["gauge-study", _folder, "--readings", study, "--update-gauges", "study", "--out", file]);
        Assert.Equal((2, ""), (exit, output));
        Assert.Equal(before, File.ReadAllBytes(gauges));
    }

    [Fact]
    public async Task Gauge_study_of_reference_pieces_gives_bias_Cg_and_linearity()
    {
        string pieces = Path.Combine(_folder, "pieces.csv"), study = Directory.EnumerateFiles(Path.Combine(_folder, "studies"), "*.csv").First();
        // Bias 0.02 mm at 2 mm, 0.06 mm at 6 mm: a slope of 0.01; scatter ±0.01.
        File.WriteAllLines(pieces, ["gauge,piece,reference,value,characteristic,tolerance", .. Enumerable.Range(0, 20).SelectMany(i => new[] { 2.0, 6.0 }.Select(r => FormattableString.Invariant($"TG-11,B{r:0},{r},{r + 0.01 * r + (i % 2 == 0 ? 0.01 : -0.01):0.000},gap,1.4")))]);
        (int exit, string output, _) = await Run(["gauge-study", _folder, "--readings", study, "--pieces", pieces, "--json", "--quiet"]);
        Assert.Equal(1, exit);
        JsonElement line = JsonDocument.Parse(output).RootElement.EnumerateArray().Last();
        Assert.Equal(0.01, line.GetProperty("linearity").GetProperty("slope").GetDouble(), 4);
        JsonElement first = line.GetProperty("pieces")[0];
        Assert.Equal(0.02, first.GetProperty("bias").GetDouble(), 4);
        // 0.2 x 1.4 / (6 x 0.01026)
        Assert.Equal(0.28 / (6 * 0.01 * Math.Sqrt(20.0 / 19)), first.GetProperty("cg").GetDouble(), 3);
        File.WriteAllText(pieces, "gauge,piece,reference,value\nTG-11,B2,2,x\n");
        (exit, output, string error) = await Run(["gauge-study", _folder, "--readings", study, "--pieces", pieces]);
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains("pieces.csv:2: column value", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_build_or_no_build_list_is_told_and_nothing_breaks()
    {
        string one = Path.Combine(_folder, "readings", "D4-001.csv");
        (int exit, string output, _) = await Run(["trend", _folder, "--readings", one, "--quiet"]);
        Assert.Equal(0, exit);
        Assert.StartsWith("There is nothing to chart", output, StringComparison.Ordinal);
        (exit, output, _) = await Run(["capability", _folder, "--readings", one, "--characteristic", "gap", "--quiet", "--out", Path.Combine(_folder, "one")]);
        Assert.Equal(1, exit);
        Assert.StartsWith("No Ppk can be stated", output, StringComparison.Ordinal);
        (exit, output, string error) = await Run(["revisions", _folder, "--readings", one, "--door", "P1"]);
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains("two measured builds or more", error, StringComparison.Ordinal);
        File.Delete(Path.Combine(_folder, "builds.csv"));
        (exit, output, error) = await Run(["revisions", _folder, "--readings", one, "--door", "P1"]);
        Assert.Equal((2, ""), (exit, output));
        Assert.Contains("builds.csv", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("trend", "--limits-from", "D4-001", "two dots")]
    [InlineData("trend", "--limits-from", "D4-001..D4-999", "no build 'D4-999'")]
    [InlineData("trend", "--limits-from-first", "2", "needs 4 builds")]
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
