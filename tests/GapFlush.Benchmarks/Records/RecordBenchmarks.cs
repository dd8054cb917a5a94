using BenchmarkDotNet.Attributes;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Workflows;
using Microsoft.Data.Sqlite;

namespace GapFlush.Benchmarks.Records;

/// <summary>A million readings: into the record as one file, out of it again, verified, and capability over all stations from it; beside the same rows into a bare table.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class RecordBenchmarks
{
    private readonly string _folder = Directory.CreateTempSubdirectory("gapflush-bench-").FullName;
    private FitPlan _plan = null!;
    private ReadingLog _log = null!;
    private string _filled = "";
    private int _next;

    /// <summary>Rows.</summary>
    [Params(1_000_000)]
    public int Rows { get; set; }

    /// <summary>Makes the readings, and a record that holds them.</summary>
    [GlobalSetup]
    public void Setup()
    {
        _plan = MadeReadings.Plan();
        _log = MadeReadings.Log(_plan, Rows);
        _filled = Path.Combine(_folder, "filled.sqlite");
        MadeReadings.Add(_filled, _log, _plan);
    }

    /// <summary>Added to a new SQLite record: keys looked up, chained, committed to disk.</summary>
    [Benchmark]
    public long Add_to_SQLite() => MadeReadings.Add(Path.Combine(_folder, $"r{++_next}.sqlite"), _log, _plan);

    /// <summary>For comparison: the same rows into a bare SQLite table of seven columns, one prepared statement, one transaction, nothing looked up and nothing chained.</summary>
    [Benchmark(Baseline = true)]
    public int Bare_table()
    {
        using SqliteConnection connection = new($"Data Source={Path.Combine(_folder, $"b{++_next}.sqlite")};Pooling=False");
        connection.Open();
        Run("PRAGMA journal_mode = WAL");
        Run("CREATE TABLE entry (number INTEGER PRIMARY KEY, build TEXT, door TEXT, station TEXT, characteristic TEXT, value REAL, taken_at TEXT)");
        using SqliteTransaction transaction = connection.BeginTransaction();
        using SqliteCommand insert = connection.CreateCommand();
        insert.CommandText = "INSERT INTO entry VALUES (@1, @2, @3, @4, @5, @6, @7)";
        SqliteParameter[] values = [.. Enumerable.Range(1, 7).Select(i => insert.Parameters.Add(Invariant($"@{i}"), i == 1 ? SqliteType.Integer : i == 6 ? SqliteType.Real : SqliteType.Text))];
        foreach (Reading r in _log.Readings)
        {
            object[] row = [r.Line, r.Build, r.Door, r.Station, r.Characteristic.Code, r.Value, r.TakenAt!.Value.ToString("O")];
            for (int i = 0; i < row.Length; i++) values[i].Value = row[i];
            insert.ExecuteNonQuery();
        }
        transaction.Commit();
        return _next;

        void Run(string sql)
        {
            using SqliteCommand command = connection.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }
    }

    /// <summary>Read back, corrections applied.</summary>
    [Benchmark]
    public int Read_from_SQLite()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return record.Readings().Count;
    }

    /// <summary>Every link reckoned anew.</summary>
    [Benchmark]
    public bool Verify()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return record.Verify().IsWhole;
    }

    /// <summary>Read back, brought to plan conditions, and capability of every station and characteristic.</summary>
    [Benchmark]
    public int Capability_over_all_stations()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return CapabilityStudy.OfReadings(_plan, null, record.BareReadings()).Lines.Count;
    }

    /// <summary>Clears up.</summary>
    [GlobalCleanup]
    public void Cleanup() => Directory.Delete(_folder, recursive: true);
}
