using System.Data.Common;
using Dapper;

namespace GapFlush.Store.Engines;

/// <summary>Which entries were corrected. Corrections are few; with them in hand a million rows need no look-up in the database.</summary>
internal sealed class Corrections
{
    private readonly HashSet<long> _corrected = [];
    private readonly Dictionary<long, long> _corrects = [];

    /// <summary>True where there is any.</summary>
    public bool Any => _corrected.Count > 0;

    /// <summary>All corrections of the record.</summary>
    public static Corrections Of(IEngine engine, DbTransaction transaction)
    {
        Corrections all = new();
        foreach ((long number, long old) in engine.Connection.Query<(long, long)>("SELECT number, corrects FROM entry WHERE corrects IS NOT NULL ORDER BY number", transaction: transaction))
        {
            all._corrected.Add(old);
            all._corrects[number] = old;
        }
        return all;
    }

    /// <summary>True where a later entry stands in for this one.</summary>
    public bool Corrected(long number) => _corrected.Count > 0 && _corrected.Contains(number);

    /// <summary>The first entry that an entry goes back to: itself, where it corrects none.</summary>
    public long Root(long number)
    {
        long at = number;
        // Numbers only fall along the way, unless somebody altered them; then the way ends here rather than go round for ever.
        while (_corrects.TryGetValue(at, out long old) && old < at) at = old;
        return at;
    }
}
