using GapFlush.Measurements;

namespace GapFlush.Store.Adding;

/// <summary>Makes the entries of corrections made by hand, or says why one cannot be made.</summary>
internal sealed class CorrectionSorting(Func<long, Entry?> entry, Func<long, Entry?> correctionOf, Func<string, IReadOnlyList<Entry>> standing)
{
    /// <summary>The rows to enter; number, file and hash are still to come.</summary>
    public IReadOnlyList<Entry> Rows(IReadOnlyList<(long Entry, Reading? Now)> corrections)
    {
        HashSet<long> named = [.. corrections.Select(c => c.Entry)];
        if (named.Count < corrections.Count) throw new RecordException("an entry is named twice; name each once. Nothing was changed.");
        List<Entry> rows = [];
        Dictionary<string, HashSet<ReadingKey>> taken = [];
        foreach ((long number, Reading? now) in corrections)
        {
            Entry old = entry(number) ?? throw new RecordException(Invariant($"the record has no entry {number}; 'gapflush record list' shows the numbers. Nothing was changed."));
            if (correctionOf(number) is Entry later)
                throw new RecordException(Invariant($"entry {number} was already {(later.IsWithdrawal ? "withdrawn" : "corrected")} by entry {later.Number}{(later.IsWithdrawal ? "" : "; correct that one")}. Nothing was changed."));
            if (old.IsWithdrawal) throw new RecordException(Invariant($"entry {number} withdraws another; add the reading anew instead. Nothing was changed."));
            int line = rows.Count + 1;
            if (now is not null)
            {
                if (!taken.TryGetValue(now.Build, out HashSet<ReadingKey>? keys))
                    taken[now.Build] = keys = [.. standing(now.Build).Where(e => !named.Contains(e.Number)).Select(e => ReadingKey.Of(e.Reading))];
                if (!keys.Add(ReadingKey.Of(now)))
                    throw new RecordException($"{now.Build} already has a {now.Characteristic.Words} at {now.Door} {now.Station} of that stage, definition and repeat; withdraw it first, or give another repeat. Nothing was changed.");
            }
            Reading reading = now ?? old.Reading with { Value = double.NaN, WrittenValue = "", WrittenDecimals = 0 };
            rows.Add(new() { Number = 0, File = 0, Corrects = number, Reading = reading with { Line = line } });
        }
        return rows;
    }
}
