using System.Collections.Concurrent;

namespace GapFlush.Plan;

/// <summary>All limits of a plan, and which one holds where.</summary>
public sealed class LimitsTable
{
    private readonly ILookup<Characteristic, LimitRow> _byCharacteristic;
    private readonly ConcurrentDictionary<(Characteristic, string?, string?, string?, string?), LimitRow?> _found = new();

    /// <summary>Makes a table from rows; the plan reader has already refused rows that contradict one another.</summary>
    public LimitsTable(IEnumerable<LimitRow> rows)
    {
        Rows = [.. rows];
        _byCharacteristic = Rows.ToLookup(r => r.Characteristic);
    }

    /// <summary>The rows in file order.</summary>
    public IReadOnlyList<LimitRow> Rows { get; }

    /// <summary>The most specific row for a characteristic at a place and stage, or null when no limit is given.</summary>
    /// <param name="characteristic">What is limited.</param>
    /// <param name="door">Door code.</param>
    /// <param name="zone">Zone, or null for a value of the whole door.</param>
    /// <param name="station">Station, or null for a value of a zone or door.</param>
    /// <param name="stage">Stage, or null where the plan has none.</param>
    public LimitRow? For(Characteristic characteristic, string? door, string? zone = null, string? station = null, string? stage = null) =>
        _found.GetOrAdd((characteristic, door, zone, station, stage), static (place, table) => table.Search(place.Item1, place.Item2, place.Item3, place.Item4, place.Item5), this);

    private LimitRow? Search(Characteristic characteristic, string? door, string? zone, string? station, string? stage)
    {
        LimitRow? best = null;
        foreach (LimitRow row in _byCharacteristic[characteristic])
        {
            if (row.Covers(characteristic, door, zone, station, stage) && (best is null || row.Specificity > best.Specificity)) best = row;
        }
        return best;
    }
}
