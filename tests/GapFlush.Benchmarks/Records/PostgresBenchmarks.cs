using BenchmarkDotNet.Attributes;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Workflows;
using Npgsql;

namespace GapFlush.Benchmarks.Records;

/// <summary>A million readings on the PostgreSQL server that GAPFLUSH_BENCH_POSTGRES names (<c>postgresql://postgres@127.0.0.1:5432</c>): in, out, verified, and capability over all stations.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class PostgresBenchmarks
{
    private readonly List<string> _databases = [];
    private FitPlan _plan = null!;
    private ReadingLog _log = null!;
    private string _filled = "";

    /// <summary>Rows.</summary>
    [Params(1_000_000)]
    public int Rows { get; set; }

    /// <summary>Makes the readings, and a record that holds them.</summary>
    [GlobalSetup]
    public void Setup()
    {
        _plan = MadeReadings.Plan();
        _log = MadeReadings.Log(_plan, Rows);
        _filled = NewDatabase();
        MadeReadings.Add(_filled, _log, _plan);
    }

    /// <summary>Added to a new database.</summary>
    [Benchmark(Baseline = true)]
    public long Add() => MadeReadings.Add(NewDatabase(), _log, _plan);

    /// <summary>Read back, corrections applied.</summary>
    [Benchmark]
    public int Read()
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

    /// <summary>Takes the databases away again.</summary>
    [GlobalCleanup]
    public void Cleanup()
    {
        NpgsqlConnection.ClearAllPools();
        foreach (string name in _databases) Execute($"DROP DATABASE {name}");
    }

    private static string Server => Environment.GetEnvironmentVariable("GAPFLUSH_BENCH_POSTGRES") is { Length: > 0 } server ? server.TrimEnd('/')
        : throw new InvalidOperationException("Name a server: GAPFLUSH_BENCH_POSTGRES=postgresql://postgres@127.0.0.1:5432");

    private string NewDatabase()
    {
        string name = Invariant($"bench_{Environment.ProcessId}_{_databases.Count + 1}");
        Execute($"CREATE DATABASE {name}");
        _databases.Add(name);
        return $"{Server}/{name}";
    }

    private static void Execute(string sql)
    {
        Uri uri = new(Server);
        using NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder { Host = uri.Host, Port = uri.Port, Username = uri.UserInfo, Database = "postgres", Pooling = false }.ConnectionString);
        connection.Open();
        using NpgsqlCommand command = new(sql, connection);
        command.ExecuteNonQuery();
    }
}
