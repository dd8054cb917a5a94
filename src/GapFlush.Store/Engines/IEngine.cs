using System.Data.Common;

namespace GapFlush.Store.Engines;

/// <summary>What the two databases do differently.</summary>
internal interface IEngine : IDisposable
{
    /// <summary>The open connection.</summary>
    DbConnection Connection { get; }

    /// <summary>Opens the connection and brings the schema up to this version.</summary>
    /// <param name="mayCreate">True to make a record where there is none.</param>
    void Open(bool mayCreate);

    /// <summary>Begins a transaction that sees one state of the record throughout.</summary>
    DbTransaction BeginRead();

    /// <summary>Begins a transaction in which nobody else can add.</summary>
    DbTransaction BeginWrite();

    /// <summary>Adds entries in the order given.</summary>
    void Insert(DbTransaction transaction, IEnumerable<Entry> entries);

    /// <summary>Reads entries in the order of their numbers; what cannot be read of one stands in <see cref="Entry.Unread"/>.</summary>
    IEnumerable<Entry> ReadAsStored(DbTransaction transaction, EntryQuery query);

    /// <summary>Reads as much of entries as studies of values need, in the order of their numbers.</summary>
    IEnumerable<BareEntry> ReadBare(DbTransaction transaction, EntryQuery query);

    /// <summary>A further connection to the same record, to read on two cores at once; null where there is none to be had.</summary>
    IEngine? Another();

    /// <summary>What is missing or altered of the tables and of what guards them, in words, and what follows from it.</summary>
    IReadOnlyList<string> BrokenGuards(DbTransaction transaction);

    /// <summary>What an exception of the driver means, or null where it is not the driver's.</summary>
    /// <param name="fault">The exception.</param>
    /// <param name="doing">What was being done, as in "adding D4-017.csv".</param>
    RecordException? Explain(Exception fault, string doing);
}
