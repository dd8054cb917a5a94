using System.Diagnostics;
using GapFlush.Numerics;
using GapFlush.Product.Tests.Commands;
using GapFlush.Store;

namespace GapFlush.Product.Tests.Store;

/// <summary>A command that is killed while it adds loses nothing that it acknowledged and leaves nothing half in. GAPFLUSH_KILLS sets how often it is killed.</summary>
public abstract class KilledWriterTests
{
    private const int FilesARound = 60, RowsAFile = 32;

    protected abstract string NewAddress(ScratchFolder scratch);

    [Fact]
    public void What_was_acknowledged_is_whole_and_nothing_is_half_in()
    {
        int kills = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_KILLS"), out int asked) ? asked : 200, done = 0, acknowledged = 0, landed = 0;
        using ScratchFolder scratch = new();
        string address = NewAddress(scratch);
        SeededRandom random = new(20260312);
        RecordStore.Open(address, mayCreate: true).Dispose();
        for (int round = 0; done < kills; round++)
        {
            Assert.True(round < 2 * kills, "the command ends before it can be killed: give it more files");
            string[] files = [.. Enumerable.Range(0, FilesARound).Select(i => scratch.At(Invariant($"{round}-{i}.csv")))];
            for (int i = 0; i < files.Length; i++) File.WriteAllText(files[i], SomeReadings.Text(Invariant($"{round}-{i}")));
            (List<string> said, bool killed) = Run(address, files, random.Between(0, 40));
            if (killed) done++;
            acknowledged += said.Count;
            landed += Check(address, round, said, whole: done % 25 == 0);
            foreach (string file in files) File.Delete(file);
        }
        Assert.True(acknowledged > kills / 2 && landed >= acknowledged, $"{acknowledged} acknowledged, {landed} in the record: the kills came too early to tell anything");
        Check(address, -1, [], whole: true);
    }

    // Kills the command some milliseconds after it acknowledged its first file.
    private static (List<string> Said, bool Killed) Run(string address, string[] files, double delayMs)
    {
        string program = Path.Combine(AppContext.BaseDirectory, "gapflush.dll");
        using Process process = Process.Start(new ProcessStartInfo("dotnet", [program, "record", "add", GapFlush.Tests.Fixture.At("plans", "small"), .. files, "--record", address, "--by", "killed", "--quiet"])
        {
            RedirectStandardOutput = true,
            RedirectStandardInput = true,
            Environment = { ["DOTNET_TieredPGO"] = "0", ["DOTNET_TC_QuickJitForLoops"] = "1" },
        })!;
        List<string> said = [];
        if (process.StandardOutput.ReadLine() is string first) said.Add(first);
        Stopwatch since = Stopwatch.StartNew();
        SpinWait.SpinUntil(() => since.Elapsed.TotalMilliseconds >= delayMs);
        process.Kill();
        // What was in the pipe when it died was said before it died; a line that was cut off was not said.
        string rest = process.StandardOutput.ReadToEnd();
        said.AddRange(rest.Split('\n')[..^1]);
        process.WaitForExit();
        return ([.. said.Select(l => Path.GetFileName(l[..l.IndexOf(':', StringComparison.Ordinal)]))], process.ExitCode != 0);
    }

    private static int Check(string address, int round, List<string> said, bool whole)
    {
        using RecordStore record = RecordStore.Open(address, mayCreate: false);
        IReadOnlyList<RecordedFile> files = record.Files();
        Assert.All(files, f => Assert.Equal(RowsAFile, f.Entries));
        Assert.Equal(files.Count * RowsAFile, record.Head().Entries);
        HashSet<string> names = [.. files.Select(f => f.Name)];
        Assert.All(said, s => Assert.Contains(s, names));
        if (whole)
        {
            Assert.True(record.Verify().IsWhole);
            Assert.All(record.StandingEntries().GroupBy(e => e.File), g => Assert.Equal(RowsAFile, g.Select(e => (e.Reading.Door, e.Reading.Station, e.Reading.Characteristic)).Distinct().Count()));
        }
        return files.Count(f => f.Name.StartsWith(Invariant($"{round}-"), StringComparison.Ordinal));
    }
}

public class SqliteKilledWriterTests : KilledWriterTests
{
    protected override string NewAddress(ScratchFolder scratch) => scratch.At("record.sqlite");
}

[Collection(nameof(PostgresTests))]
public class PostgresKilledWriterTests(PostgresServer server) : KilledWriterTests
{
    protected override string NewAddress(ScratchFolder scratch) => server.NewDatabase();
}
