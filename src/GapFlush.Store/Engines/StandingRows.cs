using System.Data.Common;

namespace GapFlush.Store.Engines;

/// <summary>Which entries stand: those that no later entry corrects, withdrawals left out.</summary>
internal static class StandingRows
{
    /// <summary>The entries that stand, each in the place of the first one it goes back to, so that a correction moves nothing.</summary>
    public static IReadOnlyList<Entry> Of(IEngine engine, DbTransaction transaction, ReadingFilter? filter, IReadOnlyDictionary<long, string> files)
    {
        Corrections corrections = Corrections.Of(engine, transaction);
        List<Entry> standing = [];
        bool moved = false;
        foreach (Entry entry in (Query(filter) with { Files = files }).Read(engine, transaction))
        {
            if (entry.IsWithdrawal || corrections.Corrected(entry.Number)) continue;
            moved |= entry.Corrects is not null;
            standing.Add(entry);
        }
        return moved ? [.. standing.OrderBy(e => corrections.Root(e.Number))] : standing;
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
}
