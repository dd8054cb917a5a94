using System.Data.Common;
using Dapper;
using GapFlush.Store.Schema;
using Microsoft.Data.Sqlite;

namespace GapFlush.Store.Engines;

/// <summary>The record in one SQLite file.</summary>
/// <remarks>Write-ahead log, so that reading goes on while somebody adds; synchronous FULL, so that what was acknowledged outlives a power cut too.</remarks>
internal sealed class SqliteEngine : IEngine
{
    private const int BusySeconds = 30;
    private readonly string _path;
    private readonly IReadOnlyList<string> _pragmas;
    private readonly int _busySeconds;
    private SqliteConnection? _connection;

    /// <param name="path">Path of the file.</param>
    /// <param name="pragmas">Further settings of the connection: how tests fill a disk or write-protect a file.</param>
    /// <param name="busySeconds">How long to wait for another writer.</param>
    public SqliteEngine(string path, IReadOnlyList<string>? pragmas = null, int busySeconds = BusySeconds) => (_path, _pragmas, _busySeconds) = (path, pragmas ?? [], busySeconds);

    public DbConnection Connection => Sqlite;

    private SqliteConnection Sqlite => _connection ?? throw new InvalidOperationException("Open the record first.");

    public void Open(bool mayCreate)
    {
        string full = Path.GetFullPath(_path);
        if (Directory.Exists(full)) throw new RecordException($"'{_path}' is a folder; a record is a file. Give the path of the file, such as {Path.Combine(_path, "record.sqlite")}.");
        if (!File.Exists(full))
        {
            if (!mayCreate) throw new RecordException($"there is no record '{_path}'. Check the path; 'gapflush record add' makes a new one.");
            string folder = Path.GetDirectoryName(full)!;
            if (!Directory.Exists(folder)) throw new RecordException($"there is no folder '{folder}' to make the record in. Make it first, or give another path.");
        }
        string connection = Connect(mayCreate ? SqliteOpenMode.ReadWriteCreate : SqliteOpenMode.ReadWrite);
        HashSet<string> tables = [.. Sqlite.Query<string>("SELECT name FROM sqlite_master WHERE type = 'table'")];
        if (!tables.Contains(ScriptJournal.Table))
        {
            if (tables.Count > 0) throw new RecordException($"'{_path}' is an SQLite database, but not a record of GapFlush. Give another path.");
            if (!mayCreate) throw new RecordException($"'{_path}' is empty; it holds no record. 'gapflush record add' fills it.");
            Run("PRAGMA journal_mode = WAL;");
        }
        RecordSchema.Upgrade(SchemaScript.Of("sqlite"), tables.Contains(ScriptJournal.Table) ? ScriptJournal.Read(Sqlite) : [], _path, () => DbUp.DeployChanges.To.SqliteDatabase(connection));
    }

    public DbTransaction BeginRead() => Sqlite.BeginTransaction(deferred: true);

    public DbTransaction BeginWrite() => Sqlite.BeginTransaction(deferred: false);

    public void Insert(DbTransaction transaction, IEnumerable<Entry> entries)
    {
        using SqliteRows rows = new(Sqlite, $"INSERT INTO entry ({string.Join(", ", EntryColumns.All)}) VALUES ({string.Join(", ", EntryColumns.All.Select((_, i) => $"?{i + 1}"))})");
        foreach (Entry entry in entries) rows.Insert(entry);
    }

    public IEnumerable<Entry> ReadAsStored(DbTransaction transaction, EntryQuery query)
    {
        using SqliteRows rows = new(Sqlite, EntryColumns.Select(query));
        foreach ((string name, object value) in query.Parameters) rows.Bind("@" + name, value);
        while (rows.Next()) yield return rows.Entry(query);
    }

    public IEnumerable<BareEntry> ReadBare(DbTransaction transaction, EntryQuery query)
    {
        using SqliteRows rows = new(Sqlite, EntryColumns.SelectBare(query));
        foreach ((string name, object value) in query.Parameters) rows.Bind("@" + name, value);
        while (rows.Next()) yield return rows.BareEntry();
    }

    public IEngine? Another()
    {
        SqliteEngine another = new(_path, _pragmas, _busySeconds);
        try
        {
            another.Connect(SqliteOpenMode.ReadWrite);
            return another;
        }
        catch (SqliteException)
        {
            another.Dispose();
            return null;
        }
    }

    public IReadOnlyList<string> BrokenGuards(DbTransaction transaction)
    {
        const string query = "SELECT type || ' ' || name AS name, sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name";
        using SqliteConnection fresh = new("Data Source=:memory:");
        fresh.Open();
        foreach (SchemaScript script in SchemaScript.Of("sqlite")) fresh.Execute(script.Text);
        Dictionary<string, string> found = Sqlite.Query<(string Name, string Sql)>(query, transaction: transaction).ToDictionary(r => r.Name, r => r.Sql);
        List<(string Name, string Sql)> wanted = [.. fresh.Query<(string Name, string Sql)>(query)];
        return
        [
            .. wanted.Where(e => found.GetValueOrDefault(e.Name) != e.Sql).Select(e => Words(e.Name, found.ContainsKey(e.Name) ? "is not as GapFlush made it" : "is missing")),
            .. found.Keys.Where(n => n.StartsWith("trigger ", StringComparison.Ordinal)).Except(wanted.Select(e => e.Name)).Select(n => Words(n, "is not GapFlush's")),
        ];

        static string Words(string kindAndName, string what) => GuardWords.Of(kindAndName[..kindAndName.IndexOf(' ', StringComparison.Ordinal)], kindAndName[(kindAndName.IndexOf(' ', StringComparison.Ordinal) + 1)..], what);
    }

    public RecordException? Explain(Exception fault, string doing) => fault is SqliteException e ? new($"{doing}: {Words(e)}", e) : null;

    public void Dispose() => _connection?.Dispose();

    private string Connect(SqliteOpenMode mode)
    {
        // No pool: it would keep the file open after the command is done with it.
        string connection = new SqliteConnectionStringBuilder { DataSource = Path.GetFullPath(_path), Mode = mode, Pooling = false, DefaultTimeout = _busySeconds }.ConnectionString;
        _connection = new SqliteConnection(connection);
        _connection.Open();
        Run($"PRAGMA busy_timeout = {_busySeconds * 1000}; PRAGMA synchronous = FULL;");
        foreach (string pragma in _pragmas) Run($"PRAGMA {pragma};");
        return connection;
    }

    private void Run(string sql) => Sqlite.Execute(sql);

    private string Words(SqliteException e) => e.SqliteErrorCode switch
    {
        5 or 6 => $"the record '{_path}' is busy: another process has been writing to it for {_busySeconds} seconds. Nothing was added. Try again when it is done.",
        8 => $"the record '{_path}' is read-only. Nothing was added. Allow writing to the file and its folder, or give another record.",
        10 => $"the disk under the record '{_path}' fails to read or write ({e.Message}). Nothing was added; what was acknowledged before is in the record. Check the disk.",
        11 => $"the record '{_path}' is damaged ({e.Message}). Nothing was added. Keep the file, and go back to a copy or an export.",
        13 => $"the disk or the quota under the record '{_path}' is full. Nothing was added; what was acknowledged before is in the record. Make room, then add the file again.",
        14 => $"the record '{_path}' cannot be opened. Check that the folder exists and may be written to: SQLite keeps a log beside the file.",
        19 => $"the record '{_path}' refuses: {Refusal(e.Message)}. Nothing was changed.",
        26 => $"'{_path}' is not a record: it is no SQLite database. Give another path; the file was left alone.",
        _ => $"the record '{_path}': {e.Message}. Nothing was added.",
    };

    private static string Refusal(string message) => message.Split('\'') is { Length: >= 3 } parts ? string.Join("'", parts[1..^1]) : message;
}
