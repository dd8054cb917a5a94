using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Doubts;

/// <summary>What the checks look at: the readings of one build, sorted by door and stage, beside those of other builds.</summary>
internal sealed class CaseFile
{
    // Enough to know a median and a spread by; a record of years would otherwise be fitted anew for every aircraft.
    private const int MostOthers = 40;

    private readonly Lazy<IReadOnlyList<DoorSheet>> _others;

    public CaseFile(FitPlan plan, string build, string? stage, IReadOnlyList<ReadingLog> logs, IReadOnlyList<ReadingLog>? otherLogs)
    {
        (Plan, Build, Stage, Logs, OtherLogs) = (plan, build, stage, logs, otherLogs ?? []);
        Readings = [.. logs.SelectMany(l => l.Readings).Where(r => r.Build == build && (stage is null || r.Stage is null || r.Stage == stage))];
        Sheets = SheetsOf(Readings);
        _others = new(LatestOthers);
    }

    public FitPlan Plan { get; }

    public string Build { get; }

    public string? Stage { get; }

    public IReadOnlyList<ReadingLog> Logs { get; }

    public IReadOnlyList<ReadingLog> OtherLogs { get; }

    /// <summary>The readings of the build at the stage asked for; those without a stage count as of that stage.</summary>
    public IReadOnlyList<Reading> Readings { get; }

    /// <summary>One sheet for each door and stage that has readings.</summary>
    public IReadOnlyList<DoorSheet> Sheets { get; }

    /// <summary>The readings of other builds in all the logs.</summary>
    public IEnumerable<Reading> OtherReadings => Logs.Concat(OtherLogs).SelectMany(l => l.Readings).Where(r => r.Build != Build);

    /// <summary>The latest sheets of other builds for each door and stage at hand: what this shop's doors are usually like.</summary>
    public IReadOnlyList<DoorSheet> OtherSheets => _others.Value;

    private List<DoorSheet> LatestOthers()
    {
        HashSet<(string, string?)> wanted = [.. Sheets.Select(s => (s.Door.Code, s.Stage))];
        return [.. OtherReadings.Where(r => wanted.Contains((r.Door, r.Stage ?? Stage))).GroupBy(r => (r.Door, Stage: r.Stage ?? Stage))
            .SelectMany(door => door.GroupBy(r => r.Build).OrderByDescending(g => g.Max(r => r.TakenAt)).ThenBy(g => g.Key, StringComparer.Ordinal).Take(MostOthers).SelectMany(SheetsOf))];
    }

    private List<DoorSheet> SheetsOf(IEnumerable<Reading> readings) =>
        [.. readings.GroupBy(r => (r.Door, Stage: r.Stage ?? Stage)).Where(g => Plan.FindDoor(g.Key.Door) is not null)
            .Select(g => new DoorSheet(Plan, Plan.FindDoor(g.Key.Door)!, g.Key.Stage, g.Where(r => Plan.FindDoor(r.Door)!.Find(r.Station) is not null)))];
}
