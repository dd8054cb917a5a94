using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Seals;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>What an inspection of one aircraft says: verdicts, every value, every doubt, and the conditions it was taken under.</summary>
/// <param name="Plan">The plan it is held against.</param>
/// <param name="Verdict">The verdict over all doors, with the doors' own results.</param>
/// <param name="Doubts">Every doubt about the data.</param>
/// <param name="Readings">The readings of this build.</param>
/// <param name="Logs">The files they came from.</param>
public sealed record BuildInspection(FitPlan Plan, BuildVerdict Verdict, IReadOnlyList<Doubt> Doubts, IReadOnlyList<Reading> Readings, IReadOnlyList<ReadingLog> Logs)
{
    /// <summary>Sectioned scans and probed points, one for a door.</summary>
    public IReadOnlyList<DoorScan> Scans { get; init; } = [];

    /// <summary>Serial of the aircraft.</summary>
    public string Build => Verdict.Build;

    /// <summary>The doors in the order of the plan.</summary>
    public IReadOnlyList<DoorResult> Doors => Verdict.Doors;

    /// <summary>Advice on hinges and latches for doors with something outside; empty where the plan gives no adjusters, or where it was not asked for.</summary>
    public IReadOnlyList<Adjustment.DoorAdjustment> Adjustments { get; init; } = [];

    /// <summary>The seals of the doors that have one, in the order of the plan.</summary>
    public IReadOnlyList<DoorSeal> Seals { get; init; } = [];

    /// <summary>The seal of a door, or null.</summary>
    public DoorSeal? SealOf(string door) => Seals.FirstOrDefault(s => s.Door.Code == door);

    /// <summary>The drain channels; null where neither levels nor water tests were given.</summary>
    public DrainResult? Drainage { get; init; }

    /// <summary>Rows of measured channels that belong to no door.</summary>
    public IEnumerable<ResultRow> RowsOfNoDoor => Drainage is { LevelsSource: not null } drains ? drains.Rows.Where(r => r.Measurement.Door.Length == 0) : [];

    /// <summary>Every row of every door, then those of channels that belong to none.</summary>
    public IEnumerable<ResultRow> Rows => Doors.SelectMany(d => d.Rows).Concat(RowsOfNoDoor);

    /// <summary>True where every door, and every measured channel, is within.</summary>
    public bool AllWithin => Verdict.Verdict == FitVerdict.Within && RowsOfNoDoor.All(r => r.Verdict is null or Decisions.Verdict.Within);

    /// <summary>True when everything limited is within and nothing in the data is doubted.</summary>
    public bool IsClear => Verdict.IsClear && AllWithin;

    /// <summary>The conditions under which one door was read.</summary>
    public DoorConditions ConditionsOf(string door) => DoorConditions.Of(Plan, [.. Readings.Where(r => r.Door == door)]);

    /// <summary>The scan of a door, or null.</summary>
    public DoorScan? ScanOf(string door) => Scans.FirstOrDefault(s => s.Door.Code == door);
}
