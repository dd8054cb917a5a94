using System.Data.Common;

namespace GapFlush.Store.Engines;

/// <summary>Which entries to read, and how much of them.</summary>
/// <param name="Where">A condition on table entry, called e, or "" for all.</param>
/// <param name="Parameters">Values for the names in it.</param>
internal sealed record EntryQuery(string Where, params IReadOnlyList<(string Name, object Value)> Parameters)
{
    /// <summary>Every entry.</summary>
    public static EntryQuery All { get; } = new("");

    /// <summary>True to read the links of the chain as well.</summary>
    public bool WithHash { get; init; }

    /// <summary>Names of files by number, for the source of the readings; null to leave it blank.</summary>
    public IReadOnlyDictionary<long, string>? Files { get; init; }

    /// <summary>The source of a reading.</summary>
    public string SourceOf(long file) => Files is null ? "" : Files.GetValueOrDefault(file) ?? Invariant($"file {file}");

    /// <summary>Reads the entries, all of which this version must be able to read.</summary>
    /// <exception cref="RecordException">It cannot read one.</exception>
    public IEnumerable<Entry> Read(IEngine engine, DbTransaction transaction)
    {
        foreach (Entry entry in engine.ReadAsStored(transaction, this))
        {
            if (entry.Unread is string unread) throw CannotRead(entry.Number, unread);
            yield return entry;
        }
    }

    /// <summary>What to say of an entry that this version cannot read.</summary>
    public static RecordException CannotRead(long number, string what) =>
        new(Invariant($"entry {number} of the record holds {what}, which this version cannot read. It was altered, or a later version entered it; 'gapflush record verify' tells which."));
}
