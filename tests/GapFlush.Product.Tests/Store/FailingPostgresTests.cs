using GapFlush.Product.Tests.Commands;
using GapFlush.Store;

namespace GapFlush.Product.Tests.Store;

/// <summary>A server that runs out of room, and one that dies while rows are going in. Each test has a server of its own, so that no other test feels it.</summary>
public class FailingPostgresTests
{
    private static readonly Author Teal = new("A. Teal", new(2026, 3, 12, 8, 0, 0, TimeSpan.Zero));

    // A quota of 1500 KiB a file, which the table of entries reaches first. PostgreSQL reports a write that is cut short by it as it reports a full disk (53100).
    [Fact]
    public async Task A_full_disk_is_told_and_nothing_is_lost()
    {
        using PostgresServer server = new(1500, ownServer: true);
        using ScratchFolder scratch = new();
        string address = server.NewDatabase();
        int added = 0;
        CommandRun run;
        do
        {
            string[] files = [.. Enumerable.Range(0, 40).Select(i => scratch.At(Invariant($"{added}-{i}.csv")))];
            for (int i = 0; i < files.Length; i++) File.WriteAllText(files[i], SomeReadings.Text(Invariant($"{added}-{i}")));
            run = await CommandRun.Of(["record", "add", GapFlush.Tests.Fixture.At("plans", "small"), .. files, "--record", address]);
            added += run.Output.Split('\n').Count(l => l.Contains("added as file", StringComparison.Ordinal));
        }
        while (run.ExitCode == 0 && added < 2000);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("is full. Nothing was added; what was acknowledged before is in the record. Make room, then add the file again.", run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        CommandRun verify = await CommandRun.Of("record", "verify", "--record", address);
        Assert.Equal(0, verify.ExitCode);
        Assert.StartsWith(Invariant($"Whole: {added} files, {32 * added} entries."), verify.Output, StringComparison.Ordinal);
    }

    // The row trigger holds the server at entry 80, half way through the file, until it has been stopped.
    [Fact]
    public async Task A_server_lost_half_way_through_a_file_is_told_and_nothing_of_the_file_is_in()
    {
        using PostgresServer server = new(null, ownServer: true);
        string address = server.NewDatabase();
        using (RecordStore record = RecordStore.Open(address, mayCreate: true))
        {
            record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
            record.Add(SomeReadings.Log("002"), SomeReadings.Plan, Teal, SameKey.Ask);
            PostgresServer.Execute(address, "CREATE FUNCTION linger() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN PERFORM pg_sleep(60); RETURN NEW; END'; CREATE TRIGGER linger BEFORE INSERT ON entry FOR EACH ROW WHEN (NEW.number = 80) EXECUTE FUNCTION linger()");
            Task<RecordException> adding = Task.Run(() => Assert.Throws<RecordException>(() => record.Add(SomeReadings.Log("003"), SomeReadings.Plan, Teal, SameKey.Ask)));
            SpinWait.SpinUntil(() => PostgresServer.Scalar(address, "SELECT count(*) FROM pg_stat_activity WHERE wait_event = 'PgSleep'") == 1, TimeSpan.FromSeconds(30));
            Assert.Equal(1, PostgresServer.Scalar(address, "SELECT count(*) FROM pg_stat_activity WHERE wait_event = 'PgSleep'"));
            server.Crash();
            Assert.Contains("was lost. A file is in whole or not at all; add it again", (await adding).Message, StringComparison.Ordinal);
        }
        Assert.Contains("cannot be reached", Assert.Throws<RecordException>(() => RecordStore.Open(address, mayCreate: false)).Message, StringComparison.Ordinal);
        server.Start();
        PostgresServer.Execute(address, "DROP TRIGGER linger ON entry");
        using RecordStore after = RecordStore.Open(address, mayCreate: false);
        Assert.Equal((2L, 64L), (after.Head().Files, after.Head().Entries));
        Assert.True(after.Verify().IsWhole);
        Assert.Equal(3, after.Add(SomeReadings.Log("003"), SomeReadings.Plan, Teal, SameKey.Ask).File!.Number);
        Assert.True(after.Verify().IsWhole);
    }
}
