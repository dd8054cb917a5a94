using BenchmarkDotNet.Attributes;
using Npgsql;

namespace GapFlush.Benchmarks.Records;

/// <summary>A million readings on the PostgreSQL server that GAPFLUSH_BENCH_POSTGRES names (<c>postgresql://postgres@127.0.0.1:5432</c>): in, out, verified, and capability over all stations.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class PostgresBenchmarks : FilledRecord
{
    private readonly List<string> _databases = [];

    /// <summary>Takes the databases away again.</summary>
    [GlobalCleanup]
    public void Cleanup()
    {
        NpgsqlConnection.ClearAllPools();
        foreach (string name in _databases) Execute($"DROP DATABASE {name}");
    }

    private static string Server => Environment.GetEnvironmentVariable("GAPFLUSH_BENCH_POSTGRES") is { Length: > 0 } server ? server.TrimEnd('/')
        : throw new InvalidOperationException("Name a server: GAPFLUSH_BENCH_POSTGRES=postgresql://postgres@127.0.0.1:5432");

    private protected override string NewRecord()
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
