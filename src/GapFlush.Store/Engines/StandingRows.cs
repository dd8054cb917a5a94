using System.Data.Common;
using Dapper;

namespace GapFlush.Store.Engines;

/// <summary>Which entries stand: those that no later entry corrects, withdrawals left out.</summary>
internal static class StandingRows
{
    /// <summary>The entries that stand, each in the place of the first one it goes back to, so that a correction moves nothing.</summary>
    public static IReadOnlyList<Entry> Of(IEngine engine, DbTransaction transaction, ReadingFilter? filter, IReadOnlyDictionary<long, string> files)
    {
        // Corrections are few; with them in hand a million rows need no look-up in the database.
        Dictionary<long, long> correctedBy = [], corrects = [];
        foreach ((long number, long old) in engine.Connection.Query<(long, long)>("SELECT number, corrects FROM entry WHERE corrects IS NOT NULL ORDER BY number", transaction: transaction))
            (correctedBy[old], corrects[number]) = (number, old);
        List<Entry> standing = [];
        bool moved = false;
        foreach (Entry entry in (Query(filter) with { Files = files }).Read(engine, transaction))
        {
            if (entry.IsWithdrawal || (correctedBy.Count > 0 && correctedBy.ContainsKey(entry.Number))) continue;
            moved |= entry.Corrects is not null;
            standing.Add(entry);
        }
        return moved ? [.. standing.OrderBy(e => Root(e, corrects))] : standing;
    }

    /// <summary>A filter as a condition on table entry.</summary>
    public static EntryQuery Query(ReadingFilter? filter)
    {
        (string Column, string? Value)[] wanted = filter is null ? [] : [("build", filter.Build), ("door", filter.Door), ("station", filter.Station), ("characteristic", filter.Characteristic?.Code), ("stage", filter.Stage)];
        List<string> conditions = [];
        List<(string, object)> parameters = [];
        foreach ((string column, string? value) in wanted)
        {
            if (value is null) continue;
            conditions.Add($"e.{column} = @{column}");
            parameters.Add((column, value));
        }
        if (filter?.InFilesOf is string build)
        {
            conditions.Add("e.file IN (SELECT x.file FROM entry x WHERE x.build = @files_of)");
            parameters.Add(("files_of", build));
        }
        return new(string.Join(" AND ", conditions), parameters);
    }

    private static long Root(Entry entry, Dictionary<long, long> corrects)
    {
        long at = entry.Number;
        // Numbers only fall along the way, unless somebody altered them; then the way ends here rather than go round for ever.
        while (corrects.TryGetValue(at, out long old) && old < at) at = old;
        return at;
    }
}
