using Dapper;
using GapFlush.Product.Tests.Commands;
using GapFlush.Store;
using GapFlush.Store.Engines;
using GapFlush.Store.Schema;
using Microsoft.Data.Sqlite;

namespace GapFlush.Product.Tests.Store;

public class SqliteRecordTests : RecordTests
{
    private readonly ScratchFolder _scratch = new();
    private int _records;

    protected override string NewAddress() => _scratch.At($"record-{++_records}.sqlite");

    protected override void Execute(string address, string sql)
    {
        using SqliteConnection connection = Connect(address);
        connection.Execute(sql);
    }

    protected override void Alter(string address, string sql)
    {
        using SqliteConnection connection = Connect(address);
        List<(string Name, string Sql)> triggers = [.. connection.Query<(string, string)>("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")];
        foreach ((string name, _) in triggers) connection.Execute($"DROP TRIGGER {name}");
        connection.Execute(sql);
        foreach ((_, string text) in triggers) connection.Execute(text);
    }

    [Fact]
    public void A_trigger_that_is_gone_is_found()
    {
        string address = NewAddress();
        Fill(Open(address));
        Execute(address, "DROP TRIGGER entry_no_update");
        Assert.Contains(Open(address).Verify().Findings, f => f.Kind == "guard" && f.Words.Contains("entry_no_update is missing", StringComparison.Ordinal));
        Execute(address, "CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT 1; END");
        Assert.Contains(Open(address).Verify().Findings, f => f.Kind == "guard" && f.Words.Contains("not as GapFlush made it", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("DROP VIEW standing", "view standing is missing: whoever queries the record past GapFlush")]
    [InlineData("DROP INDEX entry_build", "index entry_build is missing: the rows are as they were")]
    [InlineData("CREATE TRIGGER mine BEFORE INSERT ON entry BEGIN SELECT 1; END", "trigger mine is not GapFlush's")]
    public void Whatever_else_guards_the_record_is_looked_at(string sql, string words)
    {
        string address = NewAddress();
        Fill(Open(address));
        Execute(address, sql);
        Assert.Contains(words, Assert.Single(Open(address).Verify().Findings, f => f.Kind == "guard").Words, StringComparison.Ordinal);
    }

    // INSERT OR REPLACE deletes without firing a delete trigger.
    [Fact]
    public void A_row_cannot_be_put_in_the_place_of_another()
    {
        string address = NewAddress();
        Fill(Open(address));
        Assert.Throws<SqliteException>(() => Execute(address, "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE number = 4"));
    }

    [Theory]
    [InlineData("value")]
    [InlineData("temperature_c")]
    [InlineData("uncertainty")]
    public void The_database_itself_refuses_infinity(string column)
    {
        string address = NewAddress();
        Fill(Open(address));
        Assert.Contains("finite", Assert.Throws<SqliteException>(() => Execute(address, RowWith(column, "-9e999"))).Message, StringComparison.Ordinal);
        Execute(address, RowWith(column, "1.5"));
    }

    [Fact]
    public void A_full_disk_is_told_and_nothing_is_lost()
    {
        string address = NewAddress();
        Fill(Open(address));
        Head before = Open(address).Head();
        using RecordStore full = RecordStore.Open(new SqliteEngine(address, [Invariant($"max_page_count = {new FileInfo(address).Length / 4096 + 1}")]), address, mayCreate: false);
        RecordException refused = Assert.Throws<RecordException>(() =>
        {
            for (int i = 0; i < 50; i++) full.Add(SomeReadings.Log(Invariant($"1{i:00}")), SomeReadings.Plan, new("A. Teal", DateTimeOffset.UnixEpoch), SameKey.Ask);
        });
        Assert.Contains("full", refused.Message, StringComparison.Ordinal);
        RecordStore after = Open(address);
        Assert.True(after.Verify(before.Hash).IsWhole);
        Assert.Equal(after.Head().Entries, after.Files().Sum(f => f.Entries));
    }

    [Fact]
    public void A_write_protected_file_is_told()
    {
        string address = NewAddress();
        Fill(Open(address));
        using RecordStore protectedFile = RecordStore.Open(new SqliteEngine(address, ["query_only = 1"]), address, mayCreate: false);
        Assert.Contains("read-only", Assert.Throws<RecordException>(() => protectedFile.Add(SomeReadings.Log("003"), SomeReadings.Plan, new("A. Teal", DateTimeOffset.UnixEpoch), SameKey.Ask)).Message, StringComparison.Ordinal);
        Assert.Equal(66, protectedFile.Head().Entries);
    }

    [Fact]
    public void A_record_that_another_is_writing_to_is_told_busy()
    {
        string address = NewAddress();
        Fill(Open(address));
        using SqliteConnection other = Connect(address);
        other.Execute("BEGIN IMMEDIATE");
        using RecordStore waiting = RecordStore.Open(new SqliteEngine(address, busySeconds: 1), address, mayCreate: false);
        Assert.Contains("busy", Assert.Throws<RecordException>(() => waiting.Add(SomeReadings.Log("003"), SomeReadings.Plan, new("A. Teal", DateTimeOffset.UnixEpoch), SameKey.Ask)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_is_no_record_is_left_alone()
    {
        string text = _scratch.At("notes.txt"), other = _scratch.At("other.sqlite");
        File.WriteAllText(text, "not a database at all, but long enough to have a header of one hundred bytes if it were one, which it is not");
        Assert.Contains("no SQLite database", Assert.Throws<RecordException>(() => Open(text)).Message, StringComparison.Ordinal);
        Execute(other, "CREATE TABLE birds (name text)");
        Assert.Contains("not a record", Assert.Throws<RecordException>(() => Open(other)).Message, StringComparison.Ordinal);
        Assert.StartsWith("not a database", File.ReadAllText(text), StringComparison.Ordinal);
    }

    [Fact]
    public void A_record_of_a_later_version_or_with_an_edited_schema_is_refused()
    {
        string address = NewAddress(), edited = NewAddress();
        Fill(Open(address));
        Fill(Open(edited));
        Execute(address, "INSERT INTO schema_script VALUES ('0099_later.sql', '00')");
        Assert.Contains("later version", Assert.Throws<RecordException>(() => Open(address)).Message, StringComparison.Ordinal);
        Execute(edited, "UPDATE schema_script SET sha256 = '00' WHERE name = '0001_record.sql'");
        Assert.Contains("another 0001_record.sql", Assert.Throws<RecordException>(() => Open(edited)).Message, StringComparison.Ordinal);
    }

    // fixtures/record/README.md says how the file was made.
    [Fact]
    public void A_record_of_the_first_schema_is_brought_up_and_keeps_its_head()
    {
        string address = NewAddress();
        File.Copy(GapFlush.Tests.Fixture.At("record", "schema-1.sqlite"), address);
        RecordStore record = Open(address, mayCreate: false);
        Assert.Equal(File.ReadAllText(GapFlush.Tests.Fixture.At("record", "head.txt")).Trim(), record.Head().Hash);
        Assert.True(record.Verify().IsWhole);
        Assert.Equal((63, 66L), (record.StandingEntries().Count, record.Head().Entries));
        using SqliteConnection connection = Connect(address);
        Assert.Equal(SchemaScript.Of("sqlite").Count, connection.QuerySingle<int>("SELECT count(*) FROM schema_script"));
        Assert.Equal(record.StandingEntries().Count, connection.QuerySingle<int>("SELECT count(*) FROM standing"));
    }

    private static SqliteConnection Connect(string address)
    {
        SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = address, Pooling = false }.ConnectionString);
        connection.Open();
        return connection;
    }

    public override void Dispose()
    {
        base.Dispose();
        _scratch.Dispose();
        GC.SuppressFinalize(this);
    }
}
