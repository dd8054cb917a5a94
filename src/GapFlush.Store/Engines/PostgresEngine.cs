using System.Data;
using System.Data.Common;
using System.Net.Sockets;
using Dapper;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Store.Schema;
using Npgsql;
using NpgsqlTypes;

namespace GapFlush.Store.Engines;

/// <summary>The record in a PostgreSQL database, for several inspectors or a plant.</summary>
internal sealed class PostgresEngine(RecordAddress address, int busySeconds = 30) : IEngine
{
    // Any fixed number will do; it keeps two openings from making the schema at the same time.
    private const long SchemaLock = 0x4761_7046_6C75_7368;

    private NpgsqlConnection? _connection;
    private bool _wasOpen;

    public DbConnection Connection => Npgsql;

    private NpgsqlConnection Npgsql => _connection ?? throw new InvalidOperationException("Open the record first.");

    public void Open(bool mayCreate)
    {
        Connect();
        IReadOnlyList<(string Name, string Sha256)> applied = Applied();
        if (applied.Count == 0 && !mayCreate) throw new RecordException($"the database {address.Shown} holds no record. Check the address; 'gapflush record add' makes one.");
        IReadOnlyList<SchemaScript> scripts = SchemaScript.Of("postgres");
        if (RecordSchema.IsUpToDate(scripts, applied, address.Shown)) return;
        Npgsql.Execute("SELECT pg_advisory_lock(@SchemaLock)", new { SchemaLock });
        try
        {
            Npgsql.Execute($"CREATE SCHEMA IF NOT EXISTS {RecordAddress.PostgresSchema}");
            RecordSchema.Upgrade(scripts, Applied(), address.Shown, () => DbUp.DeployChanges.To.PostgresqlDatabase(address.Connection));
        }
        finally
        {
            if (Npgsql.State == ConnectionState.Open) Npgsql.Execute("SELECT pg_advisory_unlock(@SchemaLock)", new { SchemaLock });
        }
    }

    private void Connect()
    {
        _connection = new NpgsqlConnection(address.Connection);
        _connection.Open();
        _wasOpen = true;
        Npgsql.Execute($"SET lock_timeout = '{busySeconds}s'; SET client_min_messages = warning");
    }

    public DbTransaction BeginRead() => Npgsql.BeginTransaction(IsolationLevel.RepeatableRead);

    public DbTransaction BeginWrite()
    {
        NpgsqlTransaction transaction = Npgsql.BeginTransaction(IsolationLevel.ReadCommitted);
        try
        {
            // Lets readers go on and holds other writers until the end of the transaction.
            Npgsql.Execute("LOCK TABLE file, entry IN EXCLUSIVE MODE", transaction: transaction);
            return transaction;
        }
        catch
        {
            transaction.Dispose();
            throw;
        }
    }

    public void Insert(DbTransaction transaction, IEnumerable<Entry> entries)
    {
        using NpgsqlBinaryImporter copy = Npgsql.BeginBinaryImport($"COPY entry ({string.Join(", ", EntryColumns.All)}) FROM STDIN (FORMAT BINARY)");
        foreach (Entry entry in entries)
        {
            Reading r = entry.Reading;
            copy.StartRow();
            Write(copy, entry.Number);
            Write(copy, entry.File);
            Write(copy, r.Line);
            Write(copy, entry.Corrects);
            Write(copy, r.Build);
            Write(copy, r.Door);
            Write(copy, r.Station);
            Write(copy, r.Characteristic.Code);
            Write(copy, r.Stage);
            Write(copy, r.Definition);
            Write(copy, r.Repeat);
            Write(copy, EntryColumns.Stored(r));
            Write(copy, r.WrittenValue);
            Write(copy, r.WrittenUnit);
            Write(copy, r.Gauge);
            Write(copy, r.Inspector);
            Write(copy, r.TakenAt is DateTimeOffset time ? TimeText.Of(time) : null);
            Write(copy, r.TemperatureC);
            Write(copy, r.ExpandedUncertainty);
            Write(copy, r.PlanIssue);
            Write(copy, r.Note);
            copy.Write(entry.Hash, NpgsqlDbType.Bytea);
        }
        copy.Complete();
    }

    public IEnumerable<Entry> ReadAsStored(DbTransaction transaction, EntryQuery query)
    {
        using NpgsqlCommand command = new(EntryColumns.Select(query), Npgsql, (NpgsqlTransaction)transaction);
        foreach ((string name, object value) in query.Parameters) command.Parameters.AddWithValue(name, value);
        StoredRow stored = new();
        using NpgsqlDataReader row = command.ExecuteReader();
        while (row.Read())
        {
            long file = row.GetInt64(1);
            string written = row.GetString(12);
            (Characteristic characteristic, string? unknown) = stored.CharacteristicOf(row.GetString(7));
            Reading reading = new()
            {
                Build = row.GetString(4),
                Door = row.GetString(5),
                Station = row.GetString(6),
                Characteristic = characteristic,
                Value = EntryColumns.ValueOf(stored.Number(Number(row, 11), "the value")),
                WrittenValue = written,
                WrittenUnit = row.GetString(13),
                WrittenDecimals = EntryColumns.Decimals(written),
                Gauge = Text(row, 14),
                Inspector = Text(row, 15),
                TakenAt = stored.Time(Text(row, 16)),
                Repeat = Whole(row, 10) is long repeat ? stored.Whole(repeat, "the repeat") : null,
                TemperatureC = stored.Number(Number(row, 17), "the temperature"),
                Stage = Text(row, 8),
                Definition = Text(row, 9),
                ExpandedUncertainty = stored.Number(Number(row, 18), "the uncertainty"),
                PlanIssue = Text(row, 19),
                Note = Text(row, 20),
                Source = query.SourceOf(file),
                Line = stored.Whole(row.GetInt64(2), "the line"),
            };
            yield return new()
            {
                Number = row.GetInt64(0),
                File = file,
                Corrects = Whole(row, 3),
                Hash = query.WithHash ? row.GetFieldValue<byte[]>(21) : [],
                Reading = reading,
                UnknownCharacteristic = unknown,
                Unread = stored.TakeUnread(),
            };
        }
    }

    public IEnumerable<BareEntry> ReadBare(DbTransaction transaction, EntryQuery query)
    {
        using NpgsqlCommand command = new(EntryColumns.SelectBare(query), Npgsql, (NpgsqlTransaction)transaction);
        foreach ((string name, object value) in query.Parameters) command.Parameters.AddWithValue(name, value);
        StoredRow stored = new();
        KnownTerms known = new();
        using NpgsqlDataReader row = command.ExecuteReader();
        while (row.Read())
        {
            ReadingTerms terms = known.Terms(row.GetString(1), Text(row, 5), Text(row, 10), row.GetString(9), stored.Number(Number(row, 11), "the temperature"), stored.Number(Number(row, 12), "the uncertainty"));
            ReadingPlace place = known.Place(row.GetString(2), row.GetString(3), stored.CharacteristicOf(row.GetString(4)).Characteristic, Text(row, 6));
            yield return new(row.GetInt64(0), new(terms, place, EntryColumns.ValueOf(stored.Number(Number(row, 7), "the value")), EntryColumns.Decimals(row.GetString(8))), stored.TakeUnread());
        }
    }

    public IEngine? Another()
    {
        PostgresEngine another = new(address, busySeconds);
        try
        {
            another.Connect();
            return another;
        }
        catch (NpgsqlException)
        {
            another.Dispose();
            return null;
        }
    }

    public IReadOnlyList<string> BrokenGuards(DbTransaction transaction) => PostgresGuards.Broken(Npgsql, transaction);

    public RecordException? Explain(Exception fault, string doing) => fault switch
    {
        PostgresException e => new($"{doing}: {Words(e)}", e),
        NpgsqlException { InnerException: SocketException or IOException or TimeoutException or EndOfStreamException } or SocketException or TimeoutException => new($"{doing}: {Lost()}", fault),
        NpgsqlException e => new($"{doing}: the record {address.Shown}: {e.Message} {Lost()}", e),
        _ => null,
    };

    public void Dispose() => _connection?.Dispose();

    // A connection lost while the answer to a commit is awaited leaves open whether it went in.
    private string Lost() => !_wasOpen
        ? $"the server of the record {address.Shown} cannot be reached. Nothing was added. Check the address, the network and the server."
        : $"the connection to the record {address.Shown} was lost. A file is in whole or not at all; add it again, and a file that went in is recognised.";

    private string Words(PostgresException e) => e.SqlState switch
    {
        "28P01" or "28000" => $"the server of the record {address.Shown} refuses the user or the password. Give the user in the address, and the password in PGPASSWORD or a .pgpass file.",
        "3D000" => $"there is no database for the record {address.Shown}. Make it with createdb, or check the address.",
        "42501" => $"the user of the record {address.Shown} lacks the right to do this ({e.MessageText}). Ask whoever runs the database.",
        "25006" => $"the record {address.Shown} is read-only. Nothing was added. Give the address of the server that may be written to.",
        "53100" => $"the disk under the record {address.Shown} is full. Nothing was added; what was acknowledged before is in the record. Make room, then add the file again.",
        "53300" => $"the server of the record {address.Shown} has no free connection. Nothing was added. Try again later.",
        "55P03" => $"the record {address.Shown} is busy: somebody else has been adding for {busySeconds} seconds. Nothing was added. Try again when they are done.",
        "57P01" or "57P02" or "57P03" => Lost(),
        "P0001" => $"the record {address.Shown} refuses: {e.MessageText}. Nothing was changed.",
        _ => $"the record {address.Shown}: {e.MessageText}. Nothing was added.",
    };

    private IReadOnlyList<(string Name, string Sha256)> Applied() =>
        Npgsql.ExecuteScalar<bool>("SELECT to_regclass(@Name) IS NOT NULL", new { Name = $"{RecordAddress.PostgresSchema}.{ScriptJournal.Table}" }) ? ScriptJournal.Read(Npgsql) : [];

    private static void Write(NpgsqlBinaryImporter copy, string? text)
    {
        if (text is null) copy.WriteNull();
        else copy.Write(text, NpgsqlDbType.Text);
    }

    private static void Write(NpgsqlBinaryImporter copy, long? number)
    {
        if (number is long n) copy.Write(n, NpgsqlDbType.Bigint);
        else copy.WriteNull();
    }

    private static void Write(NpgsqlBinaryImporter copy, double? number)
    {
        if (number is double n) copy.Write(n, NpgsqlDbType.Double);
        else copy.WriteNull();
    }

    private static string? Text(NpgsqlDataReader row, int column) => row.IsDBNull(column) ? null : row.GetString(column);

    private static long? Whole(NpgsqlDataReader row, int column) => row.IsDBNull(column) ? null : row.GetInt64(column);

    private static double? Number(NpgsqlDataReader row, int column) => row.IsDBNull(column) ? null : row.GetDouble(column);
}
