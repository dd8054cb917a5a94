using System.Text.Json;
using GapFlush.Tests;
using UglyToad.PdfPig;

namespace GapFlush.Product.Tests.Commands;

/// <summary>Scans as a user hands them in: to <c>inspect</c>, <c>check</c> and <c>section</c>, good ones and broken ones.</summary>
public class ScanCommandTests
{
    private static readonly string Plan = Fixture.At("dabchick"), Scan = Path.Combine(Plan, "scans", "D4-017-P1.ply"), Targets = Path.Combine(Plan, "scans", "D4-017-P1-targets.csv");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_scan_goes_through_the_same_results_verdicts_map_and_report_as_readings()
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--scan", "P1=" + Scan, "--targets", "P1=" + Targets, "--stage", "trial-fit", "--out", scratch.At("out"), "--quiet");
        Assert.Equal((1, ""), (run.ExitCode, run.Error));
        string[][] rows = [.. (await File.ReadAllLinesAsync(scratch.At("out", "results.csv"), Stop)).Skip(1).Select(l => l.Split(','))];
        Dictionary<string, (double Gap, double Flush)> truth = (await File.ReadAllLinesAsync(Path.Combine(Plan, "truth", "scans.csv"), Stop)).Skip(1).Select(l => l.Split(',')).ToDictionary(r => r[2], r => (Number(r[3]), Number(r[4])));
        foreach ((string characteristic, Func<(double Gap, double Flush), double> of) in new (string, Func<(double Gap, double Flush), double>)[] { ("gap", t => t.Gap), ("flush", t => t.Flush) })
        {
            string[][] found = [.. rows.Where(r => r[1] == "P1" && r[4] == characteristic)];
            Assert.Equal(truth.Keys, found.Select(r => r[3]));
            // Planted truth within three quarters of the stated U (k = 2, most of it the scanner's certificate); the same value stands in the section.
            Assert.All(found, r => Assert.InRange(Math.Abs(Number(r[7]) - of(truth[r[3]])), 0, 0.75 * Number(r[9])));
            Assert.All(found, r => Assert.Equal("trial-fit", r[6]));
        }
        string html = await File.ReadAllTextAsync(scratch.At("out", "report.html"), Stop);
        using PdfDocument pdf = PdfDocument.Open(scratch.At("out", "report.pdf"));
        string text = string.Join(' ', pdf.GetPages().Select(p => string.Join(' ', p.GetWords().Select(w => w.Text))));
        foreach (string words in (string[])["scanner LS-01", "8 targets, residual", "What a deviation is laid to", "Sections at the worst stations"])
        {
            Assert.Contains(words, html, StringComparison.Ordinal);
            Assert.Contains(words, text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Where_gauge_and_scan_both_have_a_value_the_scan_counts_and_what_is_far_apart_is_doubted()
    {
        using ScratchFolder scratch = new();
        await File.WriteAllTextAsync(scratch.At("few.csv"), "build,door,station,characteristic,value,unit,gauge,stage\nD4-017,P1,7,gap,9.9,mm,TG-11,trial-fit\nD4-017,P1,8,land_gap,5.25,mm,DM-02,trial-fit\n", Stop);
        // The stage of the readings is the stage of the scan: nothing else says it.
        CommandRun run = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--readings", scratch.At("few.csv"), "--scan", "P1=" + Scan, "--targets", "P1=" + Targets, "--out", scratch.At("out"), "--quiet", "--json");
        using JsonDocument json = JsonDocument.Parse(run.Output);
        JsonElement[] rows = [.. json.RootElement.GetProperty("rows").EnumerateArray().Where(r => r.GetProperty("door").GetString() == "P1")];
        Assert.InRange(rows.Single(r => Is(r, "7", "gap")).GetProperty("value").GetDouble(), 3, 6);
        Assert.Equal(5.25, rows.Single(r => Is(r, "8", "land_gap")).GetProperty("value").GetDouble());
        JsonElement doubt = json.RootElement.GetProperty("doubts").EnumerateArray().Single(d => d.GetProperty("kind").GetString() == "scan-against-gauge");
        Assert.Equal("7", doubt.GetProperty("stations").EnumerateArray().Single().GetString());

        static bool Is(JsonElement row, string station, string characteristic) => row.GetProperty("station").GetString() == station && row.GetProperty("characteristic").GetString() == characteristic;
    }

    [Fact]
    public async Task Check_says_that_a_scan_can_be_used_without_analysing()
    {
        CommandRun run = await CommandRun.Of("check", Plan, "--scan", "P1=" + Scan, "--targets", "P1=" + Targets, "--stage", "trial-fit");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("D4-017-P1.ply: PLY, binary little-endian", run.Output, StringComparison.Ordinal);
        Assert.Contains("can be used for door P1", run.Output, StringComparison.Ordinal);
        Assert.EndsWith("nothing is doubted\n", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Check_takes_touches_alone_and_doubts_a_gauge_that_lies_far_from_them()
    {
        using ScratchFolder scratch = new();
        string touches = await Touches(scratch);
        CommandRun alone = await CommandRun.Of("check", Plan, "--probed", touches, "--stage", "trial-fit");
        Assert.Equal(0, alone.ExitCode);
        Assert.Contains("touches.csv: probed points, 48 points", alone.Output, StringComparison.Ordinal);
        // Without an arm in gauges.csv touches have no uncertainty, and nothing can be said to be far from them.
        System.IO.Directory.CreateDirectory(scratch.At("plan"));
        foreach (string file in Directory.GetFiles(Plan)) File.Copy(file, scratch.At("plan", Path.GetFileName(file)));
        await File.AppendAllTextAsync(scratch.At("plan", "gauges.csv"), "AR-01,portable arm,0.001,0.04,2,2027-06-30\n", Stop);
        string first = GapFlush.Demo.Dabchick.Plan.FindDoor("P1")!.Stations[0].Name;
        await File.WriteAllTextAsync(scratch.At("few.csv"), $"build,door,station,characteristic,value,unit,gauge,stage\nD4-017,P1,{first},gap,9.9,mm,TG-11,trial-fit\n", Stop);
        CommandRun far = await CommandRun.Of("check", scratch.At("plan"), "--probed", touches, "--readings", scratch.At("few.csv"), "--stage", "trial-fit");
        Assert.Equal(1, far.ExitCode);
        Assert.Contains("differ by more than twice their combined uncertainty at 1 of 1 stations", far.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sections_are_drawn_for_the_worst_stations_or_those_asked_for()
    {
        using ScratchFolder scratch = new();
        string[] call = ["section", Plan, "--door", "P1", "--scan", Scan, "--targets", Targets, "--stage", "trial-fit", "--out", scratch.At("s.csv"), "--quiet"];
        Assert.Equal((0, "", ""), Of(await CommandRun.Of([.. call, "--sections", scratch.At("worst")])));
        Assert.Equal(12, Directory.GetFiles(scratch.At("worst")).Length);
        Assert.Equal((0, "", ""), Of(await CommandRun.Of([.. call, "--sections", scratch.At("two"), "--stations", "7", "35"])));
        Assert.Equal(["section-P1-35.png", "section-P1-35.svg", "section-P1-7.png", "section-P1-7.svg"], Directory.GetFiles(scratch.At("two")).Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal));
        string svg = await File.ReadAllTextAsync(scratch.At("two", "section-P1-35.svg"), Stop);
        System.Xml.Linq.XDocument.Parse(svg);   // well formed, or this throws
        foreach (string words in (string[])["P1 station 35, latch", "gap 4.1", " ± 0.08 (4.0 to 5.4)", "flush +0.6", "set aside", "10:1"]) Assert.Contains(words, svg, StringComparison.Ordinal);
        CommandRun unknown = await CommandRun.Of([.. call, "--sections", scratch.At("none"), "--stations", "99"]);
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("--stations: expected a station of door P1, or all, found '99'.", unknown.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(scratch.At("none")));

        static (int, string, string) Of(CommandRun run) => (run.ExitCode, run.Output, run.Error);
    }

    [Fact]
    public async Task Probed_points_are_sectioned_and_inspected()
    {
        using ScratchFolder scratch = new();
        string touches = await Touches(scratch);
        CommandRun run = await CommandRun.Of("section", Plan, "--door", "P1", "--probed", touches, "--stage", "trial-fit", "--json", "--quiet");
        Assert.Equal((1, ""), (run.ExitCode, run.Error));   // 48 stations were not touched
        using JsonDocument json = JsonDocument.Parse(run.Output);
        JsonElement[] rows = [.. json.RootElement.EnumerateArray()];
        foreach (JsonElement row in rows.Take(6))
        {
            Assert.InRange(row.GetProperty("gap").GetDouble(), 3.95, 4.05);
            Assert.InRange(row.GetProperty("flush").GetDouble(), 0.15, 0.25);
        }
        Assert.All(rows.Skip(6), r => Assert.Equal("not touched", r.GetProperty("reason").GetString()));
        CommandRun inspected = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--probed", touches, "--stage", "trial-fit", "--out", scratch.At("out"), "--quiet");
        Assert.Equal((1, ""), (inspected.ExitCode, inspected.Error));
        Assert.Contains("probed points, 48 points", await File.ReadAllTextAsync(scratch.At("out", "report.html"), Stop), StringComparison.Ordinal);
        CommandRun both = await CommandRun.Of("inspect", Plan, "--build", "D4-017", "--probed", touches, "--scan", "P1=" + Scan, "--targets", "P1=" + Targets, "--stage", "trial-fit", "--out", scratch.At("both"));
        Assert.Equal(2, both.ExitCode);
        Assert.Contains("one scan or one file of probed points for door P1", both.Error, StringComparison.Ordinal);
        CommandRun other = await CommandRun.Of("inspect", Plan, "--build", "D4-018", "--probed", touches, "--stage", "trial-fit", "--out", scratch.At("other"));
        Assert.Equal(2, other.ExitCode);
        Assert.Contains("a build that the probed points are of", other.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Section_takes_a_scan_or_probed_points_but_not_both_and_not_neither()
    {
        foreach (string[] given in new[] { Array.Empty<string>(), ["--scan", Scan, "--probed", Scan] })
        {
            CommandRun run = await CommandRun.Of(["section", Plan, "--door", "P1", .. given]);
            Assert.Equal(2, run.ExitCode);
            Assert.Contains("give either a scan with --scan or probed points with --probed.", run.Error, StringComparison.Ordinal);
        }
    }

    // Six stations touched with a ball of one millimetre: flat skins, a gap of 4.0 and a flush of 0.2 at sharp edges.
    private static async Task<string> Touches(ScratchFolder scratch)
    {
        System.Text.StringBuilder text = new("build,door,station,side,feature,x,y,z,ball_radius\n");
        foreach (GapFlush.Plan.Station s in GapFlush.Demo.Dabchick.Plan.FindDoor("P1")!.Stations.Take(6))
        {
            foreach ((string side, double sense, double face) in new[] { ("surround", -1.0, 0.0), ("door", 1.0, 0.2) })
            {
                foreach ((string feature, double back, double high) in new[] { ("skin", 5.0, 1.0), ("skin", 9, 1), ("edge", -1, -2), ("edge", -1, -5) })
                {
                    GapFlush.Geometry.Point3 p = s.Position + sense * (2 + back) * s.IntoDoor + (face + high) * s.Normal;
                    text.Append(FormattableString.Invariant($"D4-017,P1,{s.Name},{side},{feature},{p.X:0.0000},{p.Y:0.0000},{p.Z:0.0000},1\n"));
                }
            }
        }
        await File.WriteAllTextAsync(scratch.At("touches.csv"), text.ToString(), Stop);
        return scratch.At("touches.csv");
    }

    public static TheoryData<string, string, string[]> BadCalls => new()
    {
        { "unknown door", "--scan: expected a door of the plan, found 'P9'.", ["--scan", "P9=SCAN"] },
        { "no door", "--scan: expected a door and a file, as DOOR=FILE, found ", ["--scan", "SCAN"] },
        { "twice", "--scan: expected one file for door P1", ["--scan", "P1=SCAN", "--scan", "P1=SCAN"] },
        { "targets without a scan", "--targets: expected a door with a scan, found 'S1'.", ["--scan", "P1=SCAN", "--targets", "S1=TARGETS"] },
        { "targets and aligned", "--aligned: expected either targets or a scan that lies in the plan's axes", ["--scan", "P1=SCAN", "--targets", "P1=TARGETS", "--aligned", "P1"] },
        { "no stage", "--stage: expected the stage at which door P1 was scanned", ["--scan", "P1=SCAN", "--targets", "P1=TARGETS", "--stage", ""] },
        { "unknown unit", "--unit: expected one of mm, in, m, or DOOR=UNIT, found 'ft'.", ["--scan", "P1=SCAN", "--unit", "ft"] },
        { "unknown stage", "--stage: expected a stage of the plan, found 'trial'.", ["--scan", "P1=SCAN", "--stage", "trial"] },
        { "missing file", "there is no file 'nowhere.ply'", ["--scan", "P1=nowhere.ply"] },
        { "not aligned", "no points near any station", ["--scan", "P1=SCAN", "--aligned", "P1"] },
        { "inches that are mm", "In millimetres it would be", ["--scan", "P1=SCAN", "--targets", "P1=TARGETS", "--unit", "m"] },
        { "unknown datum", "targets.csv:3: column datum: expected a datum of the plan, found 'P1-T99'.", ["--scan", "P1=SCAN", "--targets", "P1=FILE:targets.csv:datum,x,y,z\nP1-T1,1,2,3\nP1-T99,1,2,3\n"] },
        { "target that is no number", "targets.csv:2: column y: expected ", ["--scan", "P1=SCAN", "--targets", "P1=FILE:targets.csv:datum,x,y,z\nP1-T1,1,two,3\n"] },
        { "mirrored scan", "that lies where its targets put it", ["--scan", "P1=MIRROR", "--targets", "P1=TARGETS"] },
        { "targets of another file", "swapped.csv: expected targets that agree with the plan", ["--scan", "P1=SCAN", "--targets", "P1=FILE:swapped.csv:datum,x,y,z\nP1-T1,1,2,3\nP1-T2,100,2,3\n"] },
        { "two targets", "Three targets that are not on one line are needed; 2 were given", ["--scan", "P1=SCAN", "--targets", "P1=FILE:targets.csv:datum,x,y,z\nP1-T1,1,2,3\nP1-T2,100,2,3\n"] },
        { "no points", "expected points, found ", ["--scan", "P1=FILE:none.ply:ply\nformat ascii 1.0\nelement vertex 0\nproperty float x\nproperty float y\nproperty float z\nend_header\n", "--aligned", "P1"] },
        { "NaN only", "none of them with finite coordinates", ["--scan", "P1=FILE:nan.ply:ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\nnan nan nan\n", "--aligned", "P1"] },
        { "empty", "empty.ply: expected a scan, found nothing.", ["--scan", "P1=FILE:empty.ply:", "--aligned", "P1"] },
        { "cut short", "cut.ply", ["--scan", "P1=CUT", "--targets", "P1=TARGETS"] },
    };

    [Theory]
    [MemberData(nameof(BadCalls))]
    public async Task A_scan_that_cannot_be_used_is_refused_and_nothing_is_written(string name, string message, string[] args)
    {
        using ScratchFolder scratch = new();
        string[] given = [.. args.Select(a => Put(a, scratch))];
        string[] stage = given.Contains("--stage") ? [] : ["--stage", "trial-fit"];
        given = [.. given.Where((a, i) => a.Length > 0 && !(a == "--stage" && given[i + 1].Length == 0))];
        CommandRun run = await CommandRun.Of(["inspect", Plan, "--build", "D4-017", .. given, .. stage, "--out", scratch.At("out")]);
        Assert.True(run.ExitCode == 2, $"{name}: exit {run.ExitCode}: {run.Error}");
        Assert.Equal("", run.Output);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(scratch.At("out")), "something was written");
    }

    private static string Put(string argument, ScratchFolder scratch)
    {
        int file = argument.IndexOf("FILE:", StringComparison.Ordinal);
        if (file >= 0)
        {
            string[] parts = argument[(file + 5)..].Split(':', 2);
            File.WriteAllText(scratch.At(parts[0]), parts[1]);
            return argument[..file] + scratch.At(parts[0]);
        }
        if (argument.EndsWith("CUT", StringComparison.Ordinal))
        {
            byte[] whole = File.ReadAllBytes(Scan);
            File.WriteAllBytes(scratch.At("cut.ply"), whole[..(whole.Length / 2)]);
            return argument[..^3] + scratch.At("cut.ply");
        }
        if (argument.EndsWith("MIRROR", StringComparison.Ordinal))
        {
            // The other hand in x: the sign of every first coordinate is turned.
            byte[] mirrored = File.ReadAllBytes(Scan);
            for (int at = mirrored.AsSpan().IndexOf("end_header\n"u8) + 11; at + 12 <= mirrored.Length; at += 12) mirrored[at + 3] ^= 0x80;
            File.WriteAllBytes(scratch.At("mirror.ply"), mirrored);
            return argument[..^6] + scratch.At("mirror.ply");
        }
        return argument.Replace("SCAN", Scan, StringComparison.Ordinal).Replace("TARGETS", Targets, StringComparison.Ordinal);
    }

    private static double Number(string text) => double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);
}
