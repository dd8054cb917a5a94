using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Store.Exchange;
using GapFlush.Store.Verifying;

namespace GapFlush.Product.Tests.Store;

/// <summary>What the record promises, on one of the two databases.</summary>
public abstract class RecordTests : IDisposable
{
    private static readonly Author Teal = new("A. Teal", new(2026, 3, 12, 8, 0, 0, TimeSpan.Zero));
    private readonly List<RecordStore> _open = [];

    /// <summary>The address of a record that is not there yet.</summary>
    protected abstract string NewAddress();

    /// <summary>Alters the tables behind the record's back, its triggers off meanwhile and back afterwards as they were.</summary>
    protected abstract void Alter(string address, string sql);

    /// <summary>Runs a command in the database as anybody could, triggers on.</summary>
    protected abstract void Execute(string address, string sql);

    [Fact]
    public void What_goes_in_comes_out()
    {
        string address = NewAddress();
        ReadingLog log = SomeReadings.Log("001");
        Addition added = Open(address).Add(log, SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Equal((1L, 32L, "A. Teal"), (added.File!.Number, added.File.Entries, added.File.AddedBy));
        IReadOnlyList<Reading> back = Open(address, mayCreate: false).Readings();
        Assert.Equal(log.Readings.Select(r => r with { Definition = SomeReadings.Plan.FindDoor(r.Door)!.DefinitionOf(r.Characteristic), Source = "001.csv" }), back);
    }

    [Fact]
    public void A_record_that_is_not_there_is_not_made_by_looking()
    {
        RecordException refused = Assert.Throws<RecordException>(() => Open(NewAddress(), mayCreate: false));
        Assert.Contains("record add", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_file_is_added_once()
    {
        RecordStore record = Open(NewAddress());
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Addition again = record.Add(SomeReadings.Log("001", name: "copy.csv"), SomeReadings.Plan, Teal, SameKey.Repeat);
        Assert.Equal((null, 1L), (again.File, again.Known!.Number));
        Assert.Equal(32, record.Head().Entries);
    }

    [Fact]
    public void A_key_that_is_taken_is_asked_about_and_nothing_goes_in()
    {
        RecordStore record = Open(NewAddress());
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Head before = record.Head();
        Addition asked = record.Add(SomeReadings.Log("001", 0.1, "second.csv"), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Null(asked.File);
        Assert.Equal((32, 2, "001.csv"), (asked.Taken.Count, asked.Taken[0].Old.Reading.Line, asked.Taken[0].OldSource));
        Assert.Equal(before, record.Head());
    }

    [Fact]
    public void Replacing_corrects_and_keeps_what_was_there()
    {
        RecordStore record = Open(NewAddress());
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        string[] rows = SomeReadings.Text("001").Split('\n');
        string sheet = string.Join('\n', rows[0], rows[1].Replace("3.50", "3.62", StringComparison.Ordinal), rows[2]) + "\n";
        Addition replaced = record.Add(SomeReadings.Read("again.csv", sheet), SomeReadings.Plan, Teal with { Why = "read on the wrong edge" }, SameKey.Replace);
        Assert.Equal((1, 1), (replaced.Corrected, replaced.LeftOut));
        IReadOnlyList<Entry> standing = record.StandingEntries();
        Assert.Equal((32, 3.62, 1L), (standing.Count, standing[0].Reading.Value, standing[0].Corrects));
        Assert.Equal([3.5, 3.62], record.AllEntries().Where(e => e.Number == 1 || e.Corrects == 1).Select(e => e.Reading.Value));
        Assert.Equal("read on the wrong edge", record.Files()[1].Why);
        Assert.Throws<ArgumentException>(() => record.Add(SomeReadings.Log("001", 0.3), SomeReadings.Plan, Teal, SameKey.Replace));
    }

    // A sheet that says two things of one place: both are kept, and the later one stands.
    [Fact]
    public void A_key_twice_in_one_file_loses_neither_reading()
    {
        RecordStore record = Open(NewAddress());
        string[] rows = SomeReadings.Text("001").Split('\n');
        string sheet = string.Join('\n', rows[0], rows[1], rows[2], rows[1].Replace("3.50", "3.70", StringComparison.Ordinal)) + "\n";
        Assert.Equal(1, record.Add(SomeReadings.Read("twice.csv", sheet), SomeReadings.Plan, Teal with { Why = "read again" }, SameKey.Replace).Corrected);
        Assert.Equal([3.5, -0.2, 3.7], record.AllEntries().Select(e => e.Reading.Value));
        Assert.Equal([3.7, -0.2], record.StandingEntries().Select(e => e.Reading.Value));
        Assert.Equal(1, record.AllEntries()[2].Corrects);
        Assert.True(record.Verify().IsWhole);
    }

    // Read on one connection and on as many as there are cores, a correction in the last part standing in for a reading of the first.
    [Fact]
    public void Bare_readings_are_the_readings_that_stand_in_the_same_order()
    {
        RecordStore record = Open(NewAddress());
        foreach (string build in (string[])["001", "002", "003"]) record.Add(SomeReadings.Log(build), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Equal(BareReading.Of(record.Readings()), record.BareReadings());
        Assert.Equal(BareReading.Of(record.Readings()), record.BareReadings(10));
        Reading old = record.AllEntries()[4].Reading;
        record.Correct([(5, old with { Value = 3.9, WrittenValue = "3.9", WrittenDecimals = 1, TemperatureC = null, ExpandedUncertainty = 0.06, Gauge = null }), (40, null)], Teal with { Why = "digits exchanged" });
        BareReading[] standing = BareReading.Of(record.Readings());
        Assert.Equal((95, 3.9, 1), (standing.Length, standing[4].Value, standing[4].WrittenDecimals));
        Assert.Equal(standing, record.BareReadings());
        Assert.Equal(standing, record.BareReadings(10));
        Assert.Empty(Open(NewAddress()).BareReadings());
    }

    [Fact]
    public void A_further_repeat_gets_the_next_number()
    {
        RecordStore record = Open(NewAddress());
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Equal(32, record.Add(SomeReadings.Log("001", 0.1), SomeReadings.Plan, Teal, SameKey.Repeat).Repeated);
        Assert.Equal([null, 2], record.Readings(new(Door: "P1", Station: "1", Characteristic: SomeReadings.Plan.Limits.Rows[0].Characteristic)).Select(r => r.Repeat));
    }

    [Fact]
    public void A_correction_by_hand_names_who_when_and_why()
    {
        RecordStore record = Open(NewAddress());
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Author pintail = new("B. Pintail", new(2026, 3, 13, 9, 30, 0, TimeSpan.Zero), "digits exchanged");
        Reading old = record.AllEntries()[4].Reading;
        record.Correct([(5, old with { Value = 3.9, WrittenValue = "3.9", WrittenDecimals = 1 }), (6, null)], pintail);
        IReadOnlyList<Entry> standing = record.StandingEntries();
        Assert.Equal((31, 3.9, 33L), (standing.Count, standing[4].Reading.Value, standing[4].Number));
        RecordedFile file = record.Files()[1];
        Assert.Equal(("B. Pintail", pintail.When, "digits exchanged", null), (file.AddedBy, file.AddedAt, file.Why, file.Sha256));
        Assert.Contains("already corrected by entry 33", Assert.Throws<RecordException>(() => record.Correct([(5, null)], pintail)).Message, StringComparison.Ordinal);
        Assert.Contains("already withdrawn", Assert.Throws<RecordException>(() => record.Correct([(6, null)], pintail)).Message, StringComparison.Ordinal);
        Assert.Contains("no entry 99", Assert.Throws<RecordException>(() => record.Correct([(99, null)], pintail)).Message, StringComparison.Ordinal);
        Assert.Equal(34, record.Head().Entries);
        Assert.True(record.Verify().IsWhole);
    }

    [Theory]
    [InlineData("UPDATE entry SET value = 1 WHERE number = 3")]
    [InlineData("DELETE FROM entry WHERE number = 3")]
    [InlineData("UPDATE file SET added_by = 'x'")]
    [InlineData("DELETE FROM file")]
    public void The_database_itself_refuses_a_change(string sql)
    {
        string address = NewAddress();
        Open(address).Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.ThrowsAny<System.Data.Common.DbException>(() => Execute(address, sql));
        Assert.True(Open(address).Verify().IsWhole);
    }

    [Fact]
    public void An_export_goes_back_in_as_the_same_record()
    {
        RecordStore record = Open(NewAddress());
        Fill(record);
        string text = Exported(record);
        RecordStore other = Open(NewAddress());
        Assert.Equal(66, other.Import(RecordExport.Read(InputFile.FromText("export.csv", text)).Value));
        Assert.Equal(record.Head(), other.Head());
        Assert.Equal(text, Exported(other));
        Assert.True(other.Verify(record.Head().Hash).IsWhole);
        Assert.Equal(0, other.Import(RecordExport.Read(InputFile.FromText("export.csv", text)).Value));
        // A record that holds less of the same is brought up to date; one that holds something else is left alone.
        RecordStore behind = Open(NewAddress());
        behind.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Equal(34, behind.Import(RecordExport.Read(InputFile.FromText("export.csv", text)).Value));
        Assert.Equal(record.Head(), behind.Head());
        RecordStore stranger = Open(NewAddress());
        stranger.Add(SomeReadings.Log("009"), SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Throws<RecordException>(() => stranger.Import(RecordExport.Read(InputFile.FromText("export.csv", text)).Value));
    }

    // Every column of a sheet in use, several stages and definitions, names beyond ASCII, marks of the format itself in a note, corrections of corrections, a withdrawal.
    [Fact]
    public void An_export_of_everything_a_sheet_can_say_comes_back_the_same()
    {
        RecordStore record = Open(NewAddress());
        FillWithEverything(record);
        string text = Exported(record);
        RecordExport export = RecordExport.Read(InputFile.FromText("everything.csv", text)).Value;
        RecordStore other = Open(NewAddress());
        other.Import(export);
        Assert.Equal(record.Head(), other.Head());
        Assert.Equal(text, Exported(other));
        Assert.Equal(record.Readings(), other.Readings());
        Assert.Equal(record.AllEntries().Select(e => (e.Number, e.File, e.Corrects, e.IsWithdrawal)), other.AllEntries().Select(e => (e.Number, e.File, e.Corrects, e.IsWithdrawal)));
        Assert.Equal(record.Files().Select(f => (f.Name, f.Sha256, f.AddedBy, f.AddedAt, f.Why)), other.Files().Select(f => (f.Name, f.Sha256, f.AddedBy, f.AddedAt, f.Why)));
        Assert.True(other.Verify(record.Head().Hash).IsWhole);
        Assert.Equal(["trial-fit ü", "bare"], other.Readings().Select(r => r.Stage).Distinct());
        Assert.Equal(3, other.Readings(new(Stage: "trial-fit ü")).Count);
        Assert.Equal((2L, "blank at both ends"), (other.Find(2)!.Number, other.Find(2)!.Reading.Note));
        Assert.Null(other.Find(99));
    }

    [Fact]
    public void Minus_nought_on_a_sheet_does_not_look_altered()
    {
        RecordStore record = Open(NewAddress());
        string sheet = SomeReadings.Text("001").Replace("gap,3.50,", "gap,-0.00,", StringComparison.Ordinal).Replace(",21.5,", ",-0.0,", StringComparison.Ordinal);
        Assert.Contains(",-0.00,", sheet, StringComparison.Ordinal);
        record.Add(SomeReadings.Read("001.csv", sheet), SomeReadings.Plan, Teal, SameKey.Ask);
        record.Correct([(3, record.AllEntries()[2].Reading with { Value = -0.0, WrittenValue = "-0.00" })], Teal with { Why = "x" });
        Assert.True(record.Verify().IsWhole);
        Assert.Equal("-0.00", record.AllEntries()[0].Reading.WrittenValue);
        RecordStore other = Open(NewAddress());
        other.Import(RecordExport.Read(InputFile.FromText("e.csv", Exported(record))).Value);
        Assert.Equal(record.Head(), other.Head());
    }

    [Fact]
    public void Long_work_tells_how_far_it_has_come()
    {
        RecordStore record = Open(NewAddress());
        List<(string What, long Done, long Of)> told = [];
        record.Progress = (what, done, of) => told.Add((what, done, of));
        ReadingLog log = SomeReadings.Log("001");
        record.Add(log with { Source = "long.csv", Readings = [.. Enumerable.Range(0, 6000).Select(i => log.Readings[0] with { Repeat = i + 1 })] }, SomeReadings.Plan, Teal, SameKey.Ask);
        Assert.Equal(("adding long.csv, reading", 5000L, 6000L), Assert.Single(told));
        told.Clear();
        Assert.True(record.Verify().IsWhole);
        Assert.Equal(("verifying entry", 5000L, 6000L), Assert.Single(told));
    }

    [Fact]
    public void An_altered_export_is_refused_at_its_line()
    {
        RecordStore record = Open(NewAddress());
        Fill(record);
        string[] lines = Exported(record).Split('\n');
        lines[7] = lines[7].Replace(",3.6", ",3.7", StringComparison.Ordinal);
        InputProblem problem = Assert.Single(RecordExport.Read(InputFile.FromText("export.csv", string.Join('\n', lines))).Problems);
        Assert.Equal((8, "link"), (problem.Line, problem.Column));
        string[] without = [.. Exported(record).Split('\n').Where((_, i) => i != 9)];
        Assert.Equal("entry", Assert.Single(RecordExport.Read(InputFile.FromText("export.csv", string.Join('\n', without))).Problems).Column);
    }

    [Theory]
    [InlineData("UPDATE entry SET value = value + 0.01 WHERE number = 17", "changed", 17)]
    [InlineData("UPDATE entry SET inspector = NULL WHERE number = 1", "changed", 1)]
    [InlineData("UPDATE entry SET note = 'a' WHERE number = 66", "changed", 66)]
    [InlineData("UPDATE entry SET taken_at = 'not a time' WHERE number = 2", "changed", 2)]
    [InlineData("DELETE FROM entry WHERE number = 20", "missing", 20)]
    [InlineData("UPDATE entry SET door = 'S1', station = '8' WHERE number = 2", "changed", 2)]
    [InlineData("UPDATE entry SET corrects = 4 WHERE number = 65", "changed", 65)]
    [InlineData("UPDATE entry SET characteristic = 'gapp' WHERE number = 17", "changed", 17)]
    [InlineData("UPDATE entry SET characteristic = 'GAP' WHERE number = 17", "changed", 17)]
    [InlineData("UPDATE entry SET line = line + 4294967296 WHERE number = 17", "changed", 17)]
    [InlineData("UPDATE entry SET repeat = 4294967297 WHERE number = 17", "changed", 17)]
    [InlineData("UPDATE entry SET taken_at = '2026-03-11T13:00:30.0+01:00' WHERE number = 1", "changed", 1)]
    public void An_altered_entry_is_found_and_placed(string sql, string kind, int entry)
    {
        string address = NewAddress();
        Fill(Open(address));
        Alter(address, sql);
        Verification found = Open(address).Verify();
        Assert.Contains(found.Findings, f => f.Kind == kind && f.Entry == entry);
        Assert.All(found.Findings.Where(f => f.Kind == "changed" && f.Entry is not null), f => Assert.InRange(f.Entry!.Value, entry, entry + 1));
        Assert.DoesNotContain(found.Findings, f => f.Kind == "guard");
    }

    [Fact]
    public void An_entry_altered_past_reading_is_named_by_everybody_who_meets_it()
    {
        string address = NewAddress();
        Fill(Open(address));
        Alter(address, "UPDATE entry SET characteristic = 'gapp' WHERE number = 17");
        Finding found = Assert.Single(Open(address).Verify().Findings);
        Assert.Contains("entry 17 (001 S1 1 gapp)", found.Words, StringComparison.Ordinal);
        Assert.Contains("holds the characteristic 'gapp', which this version cannot read", found.Words, StringComparison.Ordinal);
        RecordStore record = Open(address);
        Action[] readers = [() => record.Readings(), () => record.BareReadings(), () => record.BareReadings(5), () => record.AllEntries(), () => Exported(record), () => record.Correct([(17, null)], Teal with { Why = "x" })];
        foreach (Action reader in readers) Assert.Contains("entry 17 of the record holds the characteristic 'gapp'", Assert.Throws<RecordException>(reader).Message, StringComparison.Ordinal);
        Assert.Equal(15, record.Readings(new(Build: "001", Door: "P1")).Count);
    }

    [Theory]
    [InlineData(double.NaN, 20, 0.1)]
    [InlineData(double.PositiveInfinity, 20, 0.1)]
    [InlineData(double.NegativeInfinity, 20, 0.1)]
    [InlineData(3.5, double.NaN, 0.1)]
    [InlineData(3.5, 20, double.PositiveInfinity)]
    public void A_number_that_is_not_finite_is_refused_with_its_line(double value, double temperature, double uncertainty)
    {
        RecordStore record = Open(NewAddress());
        Fill(record);
        ReadingLog log = SomeReadings.Log("003");
        Reading strange = log.Readings[4] with { Value = value, TemperatureC = temperature, ExpandedUncertainty = uncertainty };
        ReadingLog holed = log with { Readings = [.. log.Readings.Take(4), strange, .. log.Readings.Skip(5)] };
        Assert.StartsWith("003.csv:6: column ", Assert.Throws<RecordException>(() => record.Add(holed, SomeReadings.Plan, Teal, SameKey.Ask)).Message, StringComparison.Ordinal);
        Assert.Throws<RecordException>(() => record.Correct([(1, strange with { Build = "001" })], Teal with { Why = "x" }));
        Assert.Equal(66, record.Head().Entries);
    }

    [Fact]
    public void An_altered_file_row_is_found()
    {
        string address = NewAddress();
        Fill(Open(address));
        Alter(address, "UPDATE file SET added_by = 'C. Gadwall' WHERE number = 2");
        Assert.Equal(("changed", null, 2L), Named(Assert.Single(Open(address).Verify().Findings)));
    }

    [Fact]
    public void An_entry_put_in_at_the_end_is_found()
    {
        string address = NewAddress();
        Fill(Open(address));
        Alter(address, "INSERT INTO entry SELECT 67, file, line, NULL, build, door, station, characteristic, stage, definition, 9, value, written_value, written_unit, gauge, inspector, taken_at, temperature_c, uncertainty, plan_issue, note, hash FROM entry WHERE number = 65");
        IReadOnlyList<Finding> found = Open(address).Verify().Findings;
        Assert.Contains(found, f => f.Kind == "changed" && f.Entry == 67);
        Assert.Contains(found, f => f.Kind == "inserted" && f.File == 3);
    }

    [Fact]
    public void A_record_cut_short_shows_against_a_noted_head()
    {
        string address = NewAddress();
        RecordStore record = Open(address);
        Fill(record);
        string head = record.Head().Hash;
        Assert.Equal(66, record.Verify(head).NotedAt);
        Alter(address, "DELETE FROM entry WHERE file = 3");
        Alter(address, "DELETE FROM file WHERE number = 3");
        Assert.True(Open(address).Verify().IsWhole);
        Assert.Equal("head", Assert.Single(Open(address).Verify(head).Findings).Kind);
    }

    [Fact]
    public void Two_writers_at_once_lose_nothing()
    {
        string address = NewAddress();
        Open(address);
        Parallel.For(0, 4, new ParallelOptions { MaxDegreeOfParallelism = 4 }, writer =>
        {
            using RecordStore record = RecordStore.Open(address, mayCreate: false);
            for (int i = 0; i < 12; i++) Assert.NotNull(record.Add(SomeReadings.Log(Invariant($"{writer}-{i}")), SomeReadings.Plan, Teal, SameKey.Ask).File);
        });
        RecordStore after = Open(address);
        Assert.Equal((48L, 48L * 32), (after.Head().Files, after.Head().Entries));
        Assert.True(after.Verify().IsWhole);
        Assert.All(after.StandingEntries().GroupBy(e => e.Reading.Build), g => Assert.Equal((32, 1), (g.Count(), g.Select(e => e.File).Distinct().Count())));
    }

    [Fact]
    public void Two_that_open_a_new_record_at_once_make_one()
    {
        string address = NewAddress();
        Parallel.For(0, 4, new ParallelOptions { MaxDegreeOfParallelism = 4 }, i =>
        {
            using RecordStore record = RecordStore.Open(address, mayCreate: true);
            record.Add(SomeReadings.Log(Invariant($"00{i}")), SomeReadings.Plan, Teal, SameKey.Ask);
        });
        Assert.Equal(4, Open(address).Head().Files);
        Assert.True(Open(address).Verify().IsWhole);
    }

    /// <summary>Opens a record until the end of the test.</summary>
    protected RecordStore Open(string address, bool mayCreate = true)
    {
        RecordStore record = RecordStore.Open(address, mayCreate);
        _open.Add(record);
        return record;
    }

    /// <summary>Two files and a correction of two entries: 66 entries in 3 files.</summary>
    protected static void Fill(RecordStore record)
    {
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        record.Add(SomeReadings.Log("002", 0.03), SomeReadings.Plan, Teal, SameKey.Ask);
        Reading old = record.AllEntries()[8].Reading;
        record.Correct([(9, old with { Value = 3.77, WrittenValue = "3.77" }), (10, null)], Teal with { Why = "gauge slipped, see \"sheet 3\"" });
    }

    /// <summary>What a sheet can say, all of it: 6 entries of a file, and 4 corrections.</summary>
    protected static void FillWithEverything(RecordStore record)
    {
        Reading start = SomeReadings.Log("001").Readings[0];
        Reading full = start with
        {
            Build = "D4-ÄØ 017 日本",
            Gauge = "Lehre \"7\"",
            Inspector = "Łucja Ørsted; Ünal, J.",
            Note = "nass, \"dann\" trocken;\ttab\nand a second line = 1+1 😀",
            PlanIssue = "C/2",
            Repeat = 2,
            TemperatureC = -7.25,
            ExpandedUncertainty = 0.0123456789012345,
            Definition = "edge",
            TakenAt = new DateTimeOffset(2026, 2, 28, 23, 59, 59, 123, TimeSpan.FromMinutes(-210)),
            Value = 0.1 + 0.2,
            WrittenValue = "0.30000000000000004",
            WrittenUnit = "mm",
            WrittenDecimals = 17,
            Stage = "trial-fit ü",
        };
        Reading[] readings =
        [
            full, full with { Station = "2", WrittenUnit = "in", Value = 4.7625, WrittenValue = "0.1875", WrittenDecimals = 4, Note = " blank at both ends ", Repeat = null }, full with { Station = "3", Value = -0.0, WrittenValue = "-0.00", WrittenDecimals = 2, TakenAt = null, TemperatureC = null },
            full with { Stage = "bare", Definition = "nearest" }, full with { Station = "4", Stage = "bare", Gauge = null, Inspector = null, Note = null, PlanIssue = null, Repeat = null, ExpandedUncertainty = null, TakenAt = new DateTimeOffset(2026, 3, 31, 7, 0, 0, TimeSpan.Zero) },
            full with { Station = "5", Stage = "bare", Value = 1e-7, WrittenValue = "1E-7", WrittenDecimals = 7, WrittenUnit = "um" },
        ];
        record.Add(new("Prüfbogen «17».csv", [.. readings.Select((r, i) => r with { Source = "Prüfbogen «17».csv", Line = i + 2 })], new string('a', 64), []), SomeReadings.Plan, Teal with { Who = "Łucja Ørsted" }, SameKey.Ask);
        record.Correct([(1, full with { Value = 3.25, WrittenValue = "3.25", WrittenDecimals = 2 }), (4, null)], Teal with { Why = "Ziffern vertauscht; \"siehe\" Bogen 3, Zeile 2" });
        record.Correct([(7, full with { Value = 3.3, WrittenValue = "3.3", WrittenDecimals = 1 })], Teal with { Why = "noch einmal" });
        record.Correct([(6, readings[5] with { Value = 2e-7, WrittenValue = "2e-7" })], new("日本", new(2026, 3, 14, 1, 2, 3, TimeSpan.FromHours(9)), "x"));
    }

    /// <summary>A command that puts a row behind the last, one column given.</summary>
    protected static string RowWith(string column, string value)
    {
        string[] columns = ["file", "line", "corrects", "build", "door", "station", "characteristic", "stage", "definition", "repeat", "value", "written_value", "written_unit", "gauge", "inspector", "taken_at", "temperature_c", "uncertainty", "plan_issue", "note", "hash"];
        return $"INSERT INTO entry SELECT number + 1, {string.Join(", ", columns.Select(c => c == column ? value : c))} FROM entry WHERE number = (SELECT max(number) FROM entry)";
    }

    protected static string Exported(RecordStore record)
    {
        using StringWriter text = new();
        record.Export(text);
        return text.ToString();
    }

    private static (string, long?, long?) Named(Finding finding) => (finding.Kind, finding.Entry, finding.File);

    public virtual void Dispose()
    {
        foreach (RecordStore record in _open) record.Dispose();
        GC.SuppressFinalize(this);
    }
}
