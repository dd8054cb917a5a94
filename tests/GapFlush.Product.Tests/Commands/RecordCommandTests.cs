using System.Diagnostics;
using System.Text.Json;
using GapFlush.Product.Tests.Store;

namespace GapFlush.Product.Tests.Commands;

public sealed class RecordCommandTests : IDisposable
{
    private static readonly string Plan = GapFlush.Tests.Fixture.At("plans", "small");
    private readonly ScratchFolder _scratch = new();

    private string Record => _scratch.At("record.sqlite");

    [Fact]
    public async Task Adding_listing_and_verifying()
    {
        CommandRun added = await CommandRun.Of("record", "add", Plan, Sheet("001"), Sheet("002"), "--record", Record, "--by", "A. Teal");
        Assert.Equal(0, added.ExitCode);
        Assert.Contains("added as file 2, 32 readings.", added.Output, StringComparison.Ordinal);
        CommandRun list = await CommandRun.Of("record", "list", "--record", Record, "--build", "002", "--door", "P1", "--station", "3", "--json");
        JsonElement[] rows = [.. JsonDocument.Parse(list.Output).RootElement.EnumerateArray()];
        Assert.Equal([("gap", 3.6), ("flush", -0.18)], rows.Select(r => (r.GetProperty("characteristic").GetString()!, r.GetProperty("value").GetDouble())));
        CommandRun verified = await CommandRun.Of("record", "verify", "--record", Record);
        Assert.Equal(0, verified.ExitCode);
        Assert.Contains("Whole: 2 files, 64 entries. Head ", verified.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_taken_key_refuses_one_file_and_not_the_others()
    {
        await CommandRun.Of("record", "add", Plan, Sheet("001"), "--record", Record);
        CommandRun again = await CommandRun.Of("record", "add", Plan, Sheet("001", 0.1, "b.csv"), Sheet("002"), "--record", Record, "--json");
        Assert.Equal(2, again.ExitCode);
        Assert.Contains("32 readings of a build, door, station, characteristic, stage, definition and repeat that the record already holds: line 2: 001 P1 1 gap is 3.60 mm here and 3.50 mm in 001.csv, line 2", again.Error, StringComparison.Ordinal);
        Assert.Contains("--same-key replace", again.Error, StringComparison.Ordinal);
        CommandRun files = await CommandRun.Of("record", "list", "--record", Record, "--files");
        Assert.Contains("002.csv", files.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("b.csv", files.Output, StringComparison.Ordinal);
        CommandRun repeated = await CommandRun.Of("record", "add", Plan, _scratch.At("b.csv"), "--record", Record, "--same-key", "repeat");
        Assert.Contains("32 as further repeats", repeated.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Correcting_and_withdrawing_need_a_reason_and_keep_the_old_entry()
    {
        await CommandRun.Of("record", "add", Plan, Sheet("001"), "--record", Record);
        Assert.Equal(2, (await CommandRun.Of("record", "correct", "--record", Record, "--entry", "1", "--value", "3.7")).ExitCode);
        Assert.Equal(2, (await CommandRun.Of("record", "correct", "--record", Record, "--entry", "1", "--why", "x")).ExitCode);
        Assert.Equal(0, (await CommandRun.Of("record", "correct", "--record", Record, "--entry", "1", "--value", "3.7", "--why", "digits exchanged", "--by", "B. Pintail")).ExitCode);
        Assert.Equal(0, (await CommandRun.Of("record", "correct", "--record", Record, "--entry", "2", "--withdraw", "--why", "door was open")).ExitCode);
        string standing = (await CommandRun.Of("record", "list", "--record", Record, "--door", "P1", "--station", "1")).Output, all = (await CommandRun.Of("record", "list", "--record", Record, "--door", "P1", "--station", "1", "--all")).Output;
        Assert.Equal((2, 5), (standing.Split('\n').Length - 1, all.Split('\n').Length - 1));
        Assert.Contains("3.7", standing, StringComparison.Ordinal);
        Assert.Contains("withdrawn", all, StringComparison.Ordinal);
        Assert.Contains("digits exchanged", (await CommandRun.Of("record", "list", "--record", Record, "--files")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_list_is_narrowed_by_stage()
    {
        await CommandRun.Of("record", "add", Plan, Sheet("001"), "--record", Record);
        string[] list = ["record", "list", "--record", Record, "--json", "--stage"];
        Assert.Equal(32, JsonDocument.Parse((await CommandRun.Of([.. list, "bare"])).Output).RootElement.GetArrayLength());
        Assert.Equal(0, JsonDocument.Parse((await CommandRun.Of([.. list, "painted"])).Output).RootElement.GetArrayLength());
    }

    // The variable belongs to the whole process, so each call is a process of its own.
    [Fact]
    public async Task The_variable_is_read_from_and_only_a_named_record_is_written_to()
    {
        await CommandRun.Of("record", "add", Plan, Sheet("001"), "--record", Record);
        string[] inspect = ["inspect", Plan, "--build", "002", "--readings", Sheet("002"), "--out", _scratch.At("out")];
        (int code, string error) = await WithVariable(inspect);
        Assert.InRange(code, 0, 1);
        Assert.Contains("only where --record names it", error, StringComparison.Ordinal);
        Assert.StartsWith("Whole: 1 files, 32 entries.", (await CommandRun.Of("record", "verify", "--record", Record)).Output, StringComparison.Ordinal);
        (code, error) = await WithVariable(["inspect", Plan, "--build", "001", "--out", _scratch.At("out")]);
        Assert.InRange(code, 0, 1);
        (code, error) = await WithVariable([.. inspect, "--record", Record]);
        Assert.InRange(code, 0, 1);
        Assert.StartsWith("Whole: 2 files, 64 entries.", (await CommandRun.Of("record", "verify", "--record", Record)).Output, StringComparison.Ordinal);
        Assert.Equal(0, (await WithVariable(["record", "verify"])).Code);
    }

    [Fact]
    public async Task An_export_taken_back_gives_the_same_head()
    {
        await CommandRun.Of("record", "add", Plan, Sheet("001"), "--record", Record);
        await CommandRun.Of("record", "correct", "--record", Record, "--entry", "2", "--withdraw", "--why", "door was open");
        await CommandRun.Of("record", "export", "--record", Record, "--out", _scratch.At("e.csv"));
        Assert.Equal(0, (await CommandRun.Of("record", "add", _scratch.At("e.csv"), "--record", _scratch.At("other.sqlite"))).ExitCode);
        await CommandRun.Of("record", "export", "--record", _scratch.At("other.sqlite"), "--out", _scratch.At("e2.csv"));
        Assert.Equal(await File.ReadAllTextAsync(_scratch.At("e.csv"), TestContext.Current.CancellationToken), await File.ReadAllTextAsync(_scratch.At("e2.csv"), TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Inspect_adds_and_reports_from_the_record()
    {
        string sheet = Sheet("001");
        CommandRun plain = await CommandRun.Of("inspect", Plan, "--build", "001", "--readings", sheet, "--out", _scratch.At("plain"), "--quiet");
        CommandRun recorded = await CommandRun.Of("inspect", Plan, "--build", "001", "--readings", sheet, "--record", Record, "--out", _scratch.At("recorded"));
        Assert.Equal(plain.ExitCode, recorded.ExitCode);
        Assert.Contains("added as file 1, 32 readings", recorded.Error, StringComparison.Ordinal);
        Assert.Equal(File.ReadAllText(_scratch.At("plain", "results.csv")), File.ReadAllText(_scratch.At("recorded", "results.csv")));
        await CommandRun.Of("record", "correct", "--record", Record, "--entry", "1", "--value", "9.9", "--why", "to be seen");
        CommandRun corrected = await CommandRun.Of("inspect", Plan, "--build", "001", "--record", Record, "--out", _scratch.At("corrected"), "--quiet");
        Assert.Equal(1, corrected.ExitCode);
        string[] row = File.ReadLines(_scratch.At("corrected", "results.csv")).First(l => l.StartsWith("001,P1,header,1,gap,", StringComparison.Ordinal)).Split(',');
        Assert.InRange(double.Parse(row[7], System.Globalization.CultureInfo.InvariantCulture), 9.8, 10.0);   // brought to 20 °C
    }

    [Fact]
    public async Task Studies_read_the_record()
    {
        string[] sheets = [.. Enumerable.Range(1, 6).Select(i => Sheet(Invariant($"00{i}"), 0.02 * i))];
        await CommandRun.Of(["record", "add", Plan, .. sheets, "--record", Record]);
        CommandRun files = await CommandRun.Of(["capability", Plan, "--json", "--quiet", "--readings", .. sheets]), record = await CommandRun.Of("capability", Plan, "--record", Record, "--json", "--quiet");
        Assert.Equal((files.ExitCode, files.Output), (record.ExitCode, record.Output));
        Assert.NotEqual("[]", record.Output.Trim());
    }

    [Theory]
    [InlineData("no record is named", "verify")]
    [InlineData("no record", "verify", "--record", "nothing.sqlite")]
    [InlineData("no file to add is named", "add", "", "--record", "r.sqlite")]
    public async Task A_wrong_call_is_told(string words, params string[] call)
    {
        CommandRun run = await CommandRun.Of(["record", .. call.Select(c => c.Length == 0 ? Plan : c.EndsWith(".sqlite", StringComparison.Ordinal) ? _scratch.At(c) : c)]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(words, run.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(_scratch.Path));
    }

    private string Sheet(string build, double shift = 0, string? name = null)
    {
        string path = _scratch.At(name ?? build + ".csv");
        File.WriteAllText(path, SomeReadings.Text(build, shift));
        return path;
    }

    private async Task<(int Code, string Error)> WithVariable(string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "gapflush.dll"), .. arguments]) { RedirectStandardError = true, RedirectStandardOutput = true, Environment = { ["GAPFLUSH_RECORD"] = Record } })!;
        Task<string> output = process.StandardOutput.ReadToEndAsync(), error = process.StandardError.ReadToEndAsync();
        await output;
        await process.WaitForExitAsync();
        return (process.ExitCode, await error);
    }

    public void Dispose() => _scratch.Dispose();
}
