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

    /// <summary>Reads entries in the order of their numbers.</summary>
    /// <param name="transaction">The transaction.</param>
    /// <param name="where">A condition on table entry, or "" for all.</param>
    /// <param name="parameters">Values for the names in it.</param>
    /// <param name="withHash">True to read the links of the chain as well.</param>
    IEnumerable<Entry> Read(DbTransaction transaction, string where, IReadOnlyList<(string Name, object Value)> parameters, bool withHash);

    /// <summary>What is missing or altered of the tables and triggers that keep the record append-only.</summary>
    IReadOnlyList<string> BrokenGuards(DbTransaction transaction);

    /// <summary>What an exception of the driver means, or null where it is not the driver's.</summary>
    /// <param name="fault">The exception.</param>
    /// <param name="doing">What was being done, as in "adding D4-017.csv".</param>
    RecordException? Explain(Exception fault, string doing);
}
