using System.Data.Common;
using Dapper;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store.Adding;
using GapFlush.Store.Engines;
using GapFlush.Store.Exchange;
using GapFlush.Store.Verifying;

namespace GapFlush.Store;

/// <summary>The record: the store of readings over all builds, in an SQLite file or a PostgreSQL database.</summary>
/// <remarks>
/// <para>Entries are only ever added. A correction is a new entry that names the old one, who, when and why. Every row is chained to the one before it by
/// SHA-256, so that an alteration is found and placed; METHOD.md says what the chain can and cannot show.</para>
/// <para>A file goes in whole or not at all, one writer at a time. Everything that the database refuses comes out as a <see cref="RecordException"/>.</para>
/// </remarks>
public sealed class RecordStore : IDisposable
{
    private readonly IEngine _engine;

    private RecordStore(IEngine engine, string address) => (_engine, Address) = (engine, address);

    /// <summary>The address in messages: never with a password.</summary>
    public string Address { get; }

    /// <summary>Takes how far long work has come (what, done, of how much; 0 where that is not known); null where nobody would see it.</summary>
    public Action<string, long, long>? Progress { get; set; }

    /// <summary>Opens a record and brings it up to this version.</summary>
    /// <param name="address">The path of an SQLite file, or a <c>postgresql://</c> address.</param>
    /// <param name="mayCreate">True to make a record where there is none.</param>
    /// <exception cref="RecordException">There is none, it cannot be opened, or it is no record.</exception>
    public static RecordStore Open(string address, bool mayCreate)
    {
        RecordAddress where = RecordAddress.Of(address);
        return Open(where.Path is string path ? new SqliteEngine(path) : new PostgresEngine(where), where.Shown, mayCreate);
    }

    /// <summary>Opens a record by an engine of its own settings.</summary>
    internal static RecordStore Open(IEngine engine, string shown, bool mayCreate)
    {
        RecordStore store = new(engine, shown);
        try
        {
            store.Explained("opening the record", () => { engine.Open(mayCreate); return 0; });
            return store;
        }
        catch
        {
            store.Dispose();
            throw;
        }
    }

    /// <summary>Where the record ends now.</summary>
    public Head Head() => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        LastRow last = Last(transaction);
        return new Head(last.Files, last.Entries, Convert.ToHexStringLower(last.Hash));
    });

    /// <summary>Adds a file of readings, whole or not at all.</summary>
    /// <param name="log">The readings of the file, read against the plan.</param>
    /// <param name="plan">The plan: a definition left blank is entered as the plan's own of today.</param>
    /// <param name="author">Who adds it and when; why, where readings may be replaced.</param>
    /// <param name="sameKey">What to do with readings whose key the record already holds.</param>
    public Addition Add(ReadingLog log, FitPlan plan, Author author, SameKey sameKey) => Explained($"adding {log.Source}", () =>
    {
        if (sameKey == SameKey.Replace && string.IsNullOrWhiteSpace(author.Why)) throw new ArgumentException("Replacing needs a reason.", nameof(author));
        IReadOnlyList<Reading> readings = [.. log.Readings.Select(r => ReadingForm.Kept(ReadingForm.Of(r, plan)))];
        using DbTransaction transaction = _engine.BeginWrite();
        if (KnownFile(log.Sha256, transaction) is RecordedFile known) return new Addition(null, known, [], 0, 0, 0);
        FileSorting sorted = new(sameKey, build => Standing(transaction, build));
        foreach (Reading reading in readings) sorted.Take(reading);
        if (sorted.Taken.Count > 0 && sameKey == SameKey.Ask) return new Addition(null, null, Named(transaction, sorted.Taken, log.Source), 0, 0, 0);
        if (sorted.Rows.Count == 0) return new Addition(null, null, sorted.Taken, 0, 0, sorted.LeftOut);
        RecordedFile file = Append(transaction, ReadingForm.FileName(log.Source), log.Sha256, author with { Why = sorted.Corrected > 0 ? author.Why : null }, sorted.Rows);
        transaction.Commit();
        return new Addition(file, null, sorted.Taken, sorted.Corrected, sorted.Repeated, sorted.LeftOut);
    });

    /// <summary>Enters corrections made by hand, all or none.</summary>
    /// <param name="corrections">The entry to correct, and the reading that stands in for it; null to withdraw it.</param>
    /// <param name="author">Who, when and why.</param>
    /// <exception cref="RecordException">An entry is not there or no longer stands, or the corrected reading would have the key of another.</exception>
    public RecordedFile Correct(IReadOnlyList<(long Entry, Reading? Now)> corrections, Author author) => Explained("entering the correction", () =>
    {
        if (string.IsNullOrWhiteSpace(author.Why)) throw new ArgumentException("A correction needs a reason.", nameof(author));
        using DbTransaction transaction = _engine.BeginWrite();
        CorrectionSorting sorting = new(n => One(transaction, n), n => CorrectionOf(transaction, n), build => Standing(transaction, build));
        RecordedFile file = Append(transaction, ReadingForm.ByHand, null, author, sorting.Rows([.. corrections.Select(c => (c.Entry, c.Now is null ? null : ReadingForm.Kept(c.Now)))]));
        transaction.Commit();
        return file;
    });

    /// <summary>The readings that stand, corrections applied, each in the place of the first one it goes back to.</summary>
    public IReadOnlyList<Reading> Readings(ReadingFilter? filter = null) => [.. StandingEntries(filter).Select(e => e.Reading)];

    /// <summary>As much of the readings that stand as studies of values need, in the same order as <see cref="Readings"/> gives them.</summary>
    /// <remarks>What else stands in a row (time, inspector, note) is not looked at, so that it cannot be found unreadable here; <see cref="Verify"/> finds it.</remarks>
    public BareReading[] BareReadings() => BareReadings(BareRows.LeastForAnother);

    /// <summary>The same, with a further connection for every so many entries.</summary>
    internal BareReading[] BareReadings(long leastForAnother) => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        return BareRows.Standing(_engine, transaction, Last(transaction).Entries, leastForAnother);
    });

    /// <summary>The entries that stand, corrections applied, each in the place of the first one it goes back to.</summary>
    public IReadOnlyList<Entry> StandingEntries(ReadingFilter? filter = null) => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        return StandingRows.Of(_engine, transaction, filter, FileNames(transaction));
    });

    /// <summary>Every entry as it was entered, those that no longer stand included.</summary>
    public IReadOnlyList<Entry> AllEntries(ReadingFilter? filter = null) => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        return (IReadOnlyList<Entry>)[.. (StandingRows.Query(filter) with { Files = FileNames(transaction), WithHash = true }).Read(_engine, transaction)];
    });

    /// <summary>The entry of a number, or null.</summary>
    public Entry? Find(long number) => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        return One(transaction, number);
    });

    /// <summary>The files, in the order in which they were added.</summary>
    public IReadOnlyList<RecordedFile> Files() => Explained("reading the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        return FileRow.All(_engine.Connection, transaction);
    });

    /// <summary>Goes through the whole record and says where anything was altered.</summary>
    /// <param name="notedHead">A head noted earlier, in hexadecimal, or null.</param>
    public Verification Verify(string? notedHead = null) => Explained("verifying the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        IReadOnlyList<RecordedFile> files = FileRow.All(_engine.Connection, transaction);
        return new ChainCheck(files, notedHead).Run(Told(_engine.ReadAsStored(transaction, EntryQuery.All with { WithHash = true }), "verifying entry", files.Sum(f => f.Entries)), _engine.BrokenGuards(transaction));
    });

    /// <summary>Writes the whole record as comma-separated text, which <see cref="Import"/> takes back to an identical record.</summary>
    /// <returns>Where the exported record ends.</returns>
    public Head Export(TextWriter output) => Explained("exporting the record", () =>
    {
        using DbTransaction transaction = _engine.BeginRead();
        RecordCsv.Write(output, FileRow.All(_engine.Connection, transaction), (EntryQuery.All with { WithHash = true }).Read(_engine, transaction));
        LastRow last = Last(transaction);
        return new Head(last.Files, last.Entries, Convert.ToHexStringLower(last.Hash));
    });

    /// <summary>Takes an export back, all or none: into an empty record, or behind a record that the export continues.</summary>
    /// <param name="export">What was exported.</param>
    /// <returns>Entries added; 0 where the record already held them all.</returns>
    /// <exception cref="RecordException">The record holds something else.</exception>
    public long Import(RecordExport export) => Explained($"adding {export.Source}", () =>
    {
        using DbTransaction transaction = _engine.BeginWrite();
        LastRow last = Last(transaction);
        if (last.Entries > 0)
        {
            byte[]? there = last.Entries <= export.Entries.Count ? export.Entries[(int)last.Entries - 1].Hash : null;
            if (there is null && One(transaction, export.Entries.Count) is Entry here && here.Hash.AsSpan().SequenceEqual(export.Entries[^1].Hash)) return 0;
            if (there is null || !there.AsSpan().SequenceEqual(last.Hash))
                throw new RecordException($"adding {export.Source}: an export goes into an empty record, or into one that it continues; the record {Address} holds other entries. Nothing was added. Give another --record.");
        }
        foreach (RecordedFile file in export.Files.Skip((int)last.Files)) FileRow.Insert(_engine.Connection, transaction, file);
        _engine.Insert(transaction, export.Entries.Skip((int)last.Entries));
        transaction.Commit();
        return export.Entries.Count - last.Entries;
    });

    /// <summary>Closes the record.</summary>
    public void Dispose() => _engine.Dispose();

    private RecordedFile Append(DbTransaction transaction, string name, string? sha256, Author author, IReadOnlyList<Entry> rows)
    {
        LastRow last = Last(transaction);
        Chain chain = new();
        RecordedFile file = new()
        {
            Number = last.Files + 1,
            Name = name,
            Sha256 = sha256,
            Entries = rows.Count,
            AddedBy = ReadingForm.OneLine(author.Who),
            AddedAt = author.When,
            Why = author.Why is null ? null : ReadingForm.OneLine(author.Why),
            Hash = [],
        };
        file = file with { Hash = chain.Link(last.Hash, file) };
        FileRow.Insert(_engine.Connection, transaction, file);
        _engine.Insert(transaction, Told(Linked(), $"adding {name}, reading", rows.Count));
        return file;

        IEnumerable<Entry> Linked()
        {
            byte[] before = file.Hash;
            long number = last.Entries;
            foreach (Entry row in rows)
            {
                // A row that stands in for another of the same file names it by its place in the file, as a number below zero.
                Entry entry = row with { Number = ++number, File = file.Number, Corrects = row.Corrects < 0 ? last.Entries - row.Corrects : row.Corrects };
                before = chain.Link(before, entry);
                yield return entry with { Hash = before };
            }
        }
    }

    private IEnumerable<Entry> Told(IEnumerable<Entry> entries, string what, long of)
    {
        // Often enough for the eye, seldom enough to cost nothing.
        const int step = 5000;
        long done = 0;
        foreach (Entry entry in entries)
        {
            if (++done % step == 0) Progress?.Invoke(what, done, of);
            yield return entry;
        }
    }

    private LastRow Last(DbTransaction transaction) => LastRow.Of(_engine.Connection, transaction);

    private RecordedFile? KnownFile(string sha256, DbTransaction transaction) => FileRow.All(_engine.Connection, transaction, "WHERE sha256 = @sha256", new { sha256 }) is [RecordedFile known, ..] ? known : null;

    private IReadOnlyList<Entry> Standing(DbTransaction transaction, string build) =>
        [.. new EntryQuery("e.build = @build AND e.value IS NOT NULL AND NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = e.number)", ("build", build)).Read(_engine, transaction)];

    private Entry? One(DbTransaction transaction, long number) => (new EntryQuery("e.number = @number", ("number", number)) { WithHash = true }).Read(_engine, transaction).FirstOrDefault();

    private Entry? CorrectionOf(DbTransaction transaction, long number) => new EntryQuery("e.corrects = @number", ("number", number)).Read(_engine, transaction).FirstOrDefault();

    private Dictionary<long, string> FileNames(DbTransaction transaction) =>
        _engine.Connection.Query<(long Number, string Name)>("SELECT number, name FROM file", transaction: transaction).ToDictionary(f => f.Number, f => f.Name);

    private IReadOnlyList<KeyTaken> Named(DbTransaction transaction, IReadOnlyList<KeyTaken> taken, string source)
    {
        Dictionary<long, string> names = FileNames(transaction);
        return [.. taken.Select(t => t with { OldSource = names.GetValueOrDefault(t.Old.File, source) })];
    }

    private T Explained<T>(string doing, Func<T> work)
    {
        try
        {
            return work();
        }
        catch (Exception fault) when (fault is not RecordException && _engine.Explain(fault, doing) is RecordException explained)
        {
            throw explained;
        }
    }
}
