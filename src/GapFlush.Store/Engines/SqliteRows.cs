using System.Buffers;
using System.Text;
using GapFlush.Measurements;
using GapFlush.Plan;
using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace GapFlush.Store.Engines;

/// <summary>One prepared statement over table entry, without the boxes of ADO.NET: a million rows of 22 columns go through here.</summary>
internal sealed class SqliteRows : IDisposable
{
    private readonly sqlite3 _database;
    private readonly sqlite3_stmt _statement;
    private readonly SqliteColumns _columns;
    private readonly Utf8Pool _pool = new();
    private readonly StoredRow _row = new();
    private readonly KnownTerms _known = new();
    private byte[] _utf8 = new byte[256];

    public SqliteRows(SqliteConnection connection, string sql)
    {
        _database = connection.Handle ?? throw new InvalidOperationException("The connection is closed.");
        Check(raw.sqlite3_prepare_v2(_database, sql, out _statement));
        _columns = new(_statement);
    }

    public void Dispose() => _statement.Dispose();

    /// <summary>Gives a named value of the condition.</summary>
    public void Bind(string name, object value)
    {
        int at = raw.sqlite3_bind_parameter_index(_statement, name);
        Check(value is long number ? raw.sqlite3_bind_int64(_statement, at, number) : raw.sqlite3_bind_text(_statement, at, (string)value));
    }

    /// <summary>Inserts one entry.</summary>
    public void Insert(Entry entry)
    {
        Reading r = entry.Reading;
        int at = 0;
        Whole(++at, entry.Number);
        Whole(++at, entry.File);
        Whole(++at, r.Line);
        Whole(++at, entry.Corrects);
        Text(++at, r.Build);
        Text(++at, r.Door);
        Text(++at, r.Station);
        Text(++at, r.Characteristic.Code);
        Text(++at, r.Stage);
        Text(++at, r.Definition);
        Whole(++at, r.Repeat);
        Number(++at, EntryColumns.Stored(r));
        Text(++at, r.WrittenValue);
        Text(++at, r.WrittenUnit);
        Text(++at, r.Gauge);
        Text(++at, r.Inspector);
        Text(++at, r.TakenAt is DateTimeOffset time ? TimeText.Of(time) : null);
        Number(++at, r.TemperatureC);
        Number(++at, r.ExpandedUncertainty);
        Text(++at, r.PlanIssue);
        Text(++at, r.Note);
        Check(raw.sqlite3_bind_blob(_statement, ++at, entry.Hash));
        int result = raw.sqlite3_step(_statement);
        // The message of a failed step stands only until the reset.
        if (result != raw.SQLITE_DONE) Check(result);
        Check(raw.sqlite3_reset(_statement));
    }

    /// <summary>Goes to the next row; false after the last.</summary>
    public bool Next()
    {
        int result = raw.sqlite3_step(_statement);
        if (result == raw.SQLITE_ROW) return true;
        if (result != raw.SQLITE_DONE) Check(result);
        return false;
    }

    /// <summary>The entry of the row.</summary>
    public Entry Entry(EntryQuery query)
    {
        long file = _columns.Whole(1);
        string written = TextAt(12) ?? "";
        (Characteristic characteristic, string? unknown) = _row.CharacteristicOf(TextAt(7) ?? "");
        Reading reading = new()
        {
            Build = TextAt(4) ?? "",
            Door = TextAt(5) ?? "",
            Station = TextAt(6) ?? "",
            Characteristic = characteristic,
            Value = EntryColumns.ValueOf(_row.Number(NumberAt(11), "the value")),
            WrittenValue = written,
            WrittenUnit = TextAt(13) ?? "",
            WrittenDecimals = EntryColumns.Decimals(written),
            Gauge = TextAt(14),
            Inspector = TextAt(15),
            TakenAt = TimeAt(16),
            Repeat = WholeAt(10) is long repeat ? _row.Whole(repeat, "the repeat") : null,
            TemperatureC = _row.Number(NumberAt(17), "the temperature"),
            Stage = TextAt(8),
            Definition = TextAt(9),
            ExpandedUncertainty = _row.Number(NumberAt(18), "the uncertainty"),
            PlanIssue = TextAt(19),
            Note = TextAt(20),
            Source = query.SourceOf(file),
            Line = _row.Whole(_columns.Whole(2), "the line"),
        };
        return new()
        {
            Number = _columns.Whole(0),
            File = file,
            Corrects = WholeAt(3),
            Hash = query.WithHash ? _columns.Bytes(21).ToArray() : [],
            Reading = reading,
            UnknownCharacteristic = unknown,
            Unread = _row.TakeUnread(),
        };
    }

    /// <summary>The bare entry of the row.</summary>
    public BareEntry BareEntry()
    {
        ReadingTerms terms = _known.Terms(TextAt(1) ?? "", TextAt(5), TextAt(10), TextAt(9) ?? "", _row.Number(NumberAt(11), "the temperature"), _row.Number(NumberAt(12), "the uncertainty"));
        ReadingPlace place = _known.Place(TextAt(2) ?? "", TextAt(3) ?? "", _row.CharacteristicOf(TextAt(4) ?? "").Characteristic, TextAt(6));
        return new(WholeAt(0) ?? 0, new(terms, place, EntryColumns.ValueOf(_row.Number(NumberAt(7), "the value")), EntryColumns.Decimals(TextAt(8) ?? "")), _row.TakeUnread());
    }

    // A value says that it is there; only where it looks empty is its type asked for: half of the calls into SQLite otherwise.
    private string? TextAt(int column) => _columns.Bytes(column) is { IsEmpty: false } text ? _pool.Text(text) : _columns.IsNull(column) ? null : "";

    private DateTimeOffset? TimeAt(int column) => _columns.Bytes(column) is { IsEmpty: false } text ? TimeText.Usual(text) ?? _row.Time(Encoding.UTF8.GetString(text)) : _columns.IsNull(column) ? null : _row.Time("");

    private long? WholeAt(int column) => _columns.Whole(column) is not 0 and var number ? number : _columns.IsNull(column) ? null : 0;

    private double? NumberAt(int column) => _columns.Number(column) is not 0 and var number ? number : _columns.IsNull(column) ? null : _columns.Number(column);

    private void Whole(int at, long? value) => Check(value is long v ? raw.sqlite3_bind_int64(_statement, at, v) : raw.sqlite3_bind_null(_statement, at));

    private void Number(int at, double? value) => Check(value is double v ? raw.sqlite3_bind_double(_statement, at, v) : raw.sqlite3_bind_null(_statement, at));

    private void Text(int at, string? value)
    {
        if (value is null)
        {
            Check(raw.sqlite3_bind_null(_statement, at));
            return;
        }
        OperationStatus status;
        int written;
        while ((status = System.Text.Unicode.Utf8.FromUtf16(value, _utf8, out _, out written)) == OperationStatus.DestinationTooSmall) _utf8 = new byte[2 * _utf8.Length];
        Check(raw.sqlite3_bind_text(_statement, at, status == OperationStatus.Done ? _utf8.AsSpan(0, written) : Encoding.UTF8.GetBytes(value)));
    }

    private void Check(int result)
    {
        if (result != raw.SQLITE_OK) SqliteException.ThrowExceptionForRC(result, _database);
    }
}
