using System.Data.Common;
using System.Runtime.ExceptionServices;
using GapFlush.Measurements;

namespace GapFlush.Store.Engines;

/// <summary>Reads a whole record for studies of values, on as many cores as there are.</summary>
internal static class BareRows
{
    /// <summary>For fewer entries a further connection costs more than it saves.</summary>
    public const long LeastForAnother = 50_000;

    /// <summary>The readings that stand, each in the place of the first one it goes back to.</summary>
    /// <param name="engine">The record.</param>
    /// <param name="transaction">What is seen of it.</param>
    /// <param name="entries">How many entries there are in it.</param>
    /// <param name="leastForAnother">So many entries are worth a further connection.</param>
    public static BareReading[] Standing(IEngine engine, DbTransaction transaction, long entries, long leastForAnother)
    {
        Corrections corrections = Corrections.Of(engine, transaction);
        List<IEngine> further = Further(engine, (int)Math.Min(Environment.ProcessorCount, entries / leastForAnother) - 1);
        try
        {
            // Room for all of them at once: every range fills its own part.
            BareReading[] all = new BareReading[entries];
            long[]? roots = corrections.Any ? new long[entries] : null;
            int[] counts = new int[further.Count + 1];
            Parallel.For(0, counts.Length, i =>
            {
                // A later state holds the same entries up to this number, as nothing is ever changed, so further connections need not see the very same one.
                using DbTransaction? own = i == 0 ? null : further[i - 1].BeginRead();
                counts[i] = Fill(i == 0 ? engine : further[i - 1], own ?? transaction, Start(i), Start(i + 1), corrections, all, roots);
            });
            int count = 0;
            for (int i = 0; i < counts.Length; i++)
            {
                Array.Copy(all, Start(i), all, count, counts[i]);
                if (roots is not null) Array.Copy(roots, Start(i), roots, count, counts[i]);
                count += counts[i];
            }
            if (roots is not null) return [.. Enumerable.Range(0, count).OrderBy(i => roots[i]).Select(i => all[i])];
            return count == all.Length ? all : all[..count];

            long Start(int range) => entries * range / counts.Length;
        }
        catch (AggregateException several)
        {
            ExceptionDispatchInfo.Throw(several.InnerExceptions[0]);
            throw;
        }
        finally
        {
            foreach (IEngine other in further) other.Dispose();
        }
    }

    private static List<IEngine> Further(IEngine engine, int wanted)
    {
        List<IEngine> further = [];
        while (further.Count < wanted && engine.Another() is IEngine another) further.Add(another);
        return further;
    }

    // How many entries of a range of numbers stand; they are put where the range begins, and beside them the entry that each goes back to.
    private static int Fill(IEngine engine, DbTransaction transaction, long after, long last, Corrections corrections, BareReading[] all, long[]? roots)
    {
        long at = after;
        foreach (BareEntry entry in engine.ReadBare(transaction, new("e.number > @after AND e.number <= @last", ("after", after), ("last", last))))
        {
            if (entry.Unread is string unread) throw EntryQuery.CannotRead(entry.Number, unread);
            if (double.IsNaN(entry.Reading.Value) || corrections.Corrected(entry.Number)) continue;
            if (roots is not null) roots[at] = corrections.Root(entry.Number);
            all[at++] = entry.Reading;
        }
        return (int)(at - after);
    }
}
