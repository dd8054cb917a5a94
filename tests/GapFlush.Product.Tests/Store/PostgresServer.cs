using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Npgsql;

namespace GapFlush.Product.Tests.Store;

/// <summary>A PostgreSQL server of the tests' own, on loopback, gone afterwards; or the one that GAPFLUSH_TEST_POSTGRES names. Without either the tests fail: a record that was not tried on PostgreSQL was not tried.</summary>
public sealed class PostgresServer : IDisposable
{
    private readonly string? _folder, _programs;
    private readonly string _host, _start = "";
    private int _databases;

    public PostgresServer()
        : this(null)
    {
    }

    /// <param name="fileLimitKiB">The most that one file of the server may hold: PostgreSQL meets it as it meets a full disk. Null for no limit, and for a server that was named from outside.</param>
    internal PostgresServer(int? fileLimitKiB, bool ownServer = false)
    {
        if (!ownServer && Environment.GetEnvironmentVariable("GAPFLUSH_TEST_POSTGRES") is { Length: > 0 } given)
        {
            _host = given.TrimEnd('/');
            return;
        }
        _programs = Programs();
        _folder = Directory.CreateTempSubdirectory("gapflush-postgres-").FullName;
        if (Root) Run("chown", "postgres:", _folder);
        int port = FreePort();
        Run(Program("initdb"), "-D", Data, "-U", "postgres", "-A", "trust", "--locale=C.UTF-8", "-E", "UTF8", "--no-sync", "--wal-segsize=1");
        string limit = fileLimitKiB is int kib ? Invariant($"ulimit -f {kib} && ") : "";
        _start = $"{limit}'{Program("pg_ctl")}' -D '{Data}' -s -w -t 60 -l '{Path.Combine(_folder, "log")}' -o '-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories= -c fsync=off' start";
        Start();
        _host = $"postgresql://postgres@127.0.0.1:{port}";
    }

    private static bool Root => Environment.UserName == "root";

    private string Data => Path.Combine(_folder!, "data");

    /// <summary>The address of a new, empty database.</summary>
    public string NewDatabase()
    {
        string name = $"test_{Environment.ProcessId}_{Interlocked.Increment(ref _databases)}";
        Execute("postgres", $"CREATE DATABASE {name}");
        return $"{_host}/{name}";
    }

    /// <summary>Runs a command in a database, past GapFlush.</summary>
    public static void Execute(string address, string sql, bool inSchema = true)
    {
        using NpgsqlConnection connection = Connect(address, inSchema);
        using NpgsqlCommand command = new(sql, connection);
        command.ExecuteNonQuery();
    }

    /// <summary>The number that a query gives.</summary>
    public static long Scalar(string address, string sql)
    {
        using NpgsqlConnection connection = Connect(address, inSchema: false);
        using NpgsqlCommand command = new(sql, connection);
        return (long)command.ExecuteScalar()!;
    }

    /// <summary>Starts the server, after <see cref="Crash"/> anew: it then mends itself from its log.</summary>
    public void Start() => Run("bash", "-c", _start);

    /// <summary>Stops the server at once, whatever it is doing, as a power cut would.</summary>
    public void Crash() => Run(Program("pg_ctl"), "-D", Data, "-s", "-m", "immediate", "stop");

    public void Dispose()
    {
        if (_folder is null) return;
        Crash();
        Directory.Delete(_folder, recursive: true);
    }

    private void Execute(string database, string sql) => Execute($"{_host}/{database}", sql, inSchema: false);

    private static NpgsqlConnection Connect(string address, bool inSchema)
    {
        Uri uri = new(address);
        NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder { Host = uri.Host, Port = uri.Port, Database = uri.AbsolutePath.Trim('/'), Username = uri.UserInfo, SearchPath = inSchema ? "gapflush" : null, Pooling = false }.ConnectionString);
        connection.Open();
        return connection;
    }

    private static string Programs()
    {
        IEnumerable<string> folders = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
            .Concat(Directory.Exists("/usr/lib/postgresql") ? Directory.GetDirectories("/usr/lib/postgresql").OrderDescending().Select(v => Path.Combine(v, "bin")) : []);
        return folders.FirstOrDefault(f => File.Exists(Path.Combine(f, "initdb")) && File.Exists(Path.Combine(f, "pg_ctl")))
            ?? throw new InvalidOperationException("PostgreSQL (initdb, pg_ctl) is not on this machine. tests/run installs it; or name a server in GAPFLUSH_TEST_POSTGRES, such as postgresql://postgres@127.0.0.1:5432.");
    }

    private string Program(string name) => Path.Combine(_programs!, name);

    private static int FreePort()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    // The server refuses to run as root.
    private static void Run(string program, params string[] arguments)
    {
        bool lower = Root && program != "chown";
        ProcessStartInfo start = new(lower ? "runuser" : program, lower ? ["-u", "postgres", "--", program, .. arguments] : arguments) { WorkingDirectory = "/" };
        // What initdb says is many lines; the server itself would keep a redirected stream open, so pg_ctl is told to be silent instead.
        bool talks = program.EndsWith("initdb", StringComparison.Ordinal);
        start.RedirectStandardOutput = talks;
        using Process process = Process.Start(start)!;
        if (talks) process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0) throw new InvalidOperationException($"{program} ended with {process.ExitCode}.");
    }
}
