using BenchmarkDotNet.Attributes;
using GapFlush.Measurements;
using Microsoft.Data.Sqlite;

namespace GapFlush.Benchmarks.Records;

/// <summary>A million readings: into the record as one file, out of it again, verified, and capability over all stations from it; beside the same rows into a bare table.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class RecordBenchmarks : FilledRecord
{
    private readonly string _folder = Directory.CreateTempSubdirectory("gapflush-bench-").FullName;
    private int _next;

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

    /// <summary>Clears up.</summary>
    [GlobalCleanup]
    public void Cleanup() => Directory.Delete(_folder, recursive: true);

    private protected override string NewRecord() => Path.Combine(_folder, Invariant($"r{++_next}.sqlite"));
}
