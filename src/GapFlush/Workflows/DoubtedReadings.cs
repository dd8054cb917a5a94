using GapFlush.Doubts;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Workflows;

/// <summary>Readings of many builds without those whose values a careful person would not believe, for comparisons that one gross fault would spoil.</summary>
/// <remarks>
/// Left out is what a doubt says is likely wrong in value: wrong serial or hand, order, units, decimal slips, exchanged stations, gauge zero, paint state, stuck values. A doubt about up to
/// <see cref="MostStations"/> stations takes those stations of that build; any other takes the door of that build, or the build. Doubts about paper (issue, calibration, temperature) take nothing.
/// </remarks>
/// <param name="Kept">The readings to go by.</param>
/// <param name="LeftOut">What was left out, by build, with the reason.</param>
public sealed record DoubtedReadings(IReadOnlyList<Reading> Kept, IReadOnlyList<ExcludedBuild> LeftOut)
{
    /// <summary>A doubt about more stations than this is about the sheet.</summary>
    public const int MostStations = 4;

    // With more builds than this each is looked at by itself, since comparing each with all would take long.
    private const int MostTogether = 150;

    private static readonly HashSet<string> AboutValues =
    [
        DoubtKinds.WrongSerial, DoubtKinds.WrongHand, DoubtKinds.ReversedOrder, DoubtKinds.InchValues, DoubtKinds.DecimalComma, DoubtKinds.DecimalSlip,
        DoubtKinds.TransposedStations, DoubtKinds.GaugeZero, DoubtKinds.PaintState, DoubtKinds.StuckValue,
    ];

    /// <summary>Sorts the readings that concern one door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door; doubts about other doors take nothing.</param>
    /// <param name="readings">Readings of any builds and doors.</param>
    public static DoubtedReadings Of(FitPlan plan, string door, IReadOnlyList<Reading> readings)
    {
        string[] builds = [.. readings.Where(r => r.Door == door).Select(r => r.Build).Distinct()];
        ReadingLog[] all = builds.Length > MostTogether ? [] : Logs(readings);
        ILookup<string, Reading> byBuild = readings.ToLookup(r => r.Build);
        Dictionary<string, ReadingLog[]> own = builds.ToDictionary(b => b, b => all.Length > 0 ? [.. all.Where(l => l.Readings.Any(r => r.Build == b))] : Logs([.. byBuild[b]]));
        (string Build, Doubt Doubt)[] doubts = [.. builds.AsParallel().AsOrdered().SelectMany(b => DoubtFinder.Find(plan, b, null, own[b], [.. all.Except(own[b])])
            .Where(d => AboutValues.Contains(d.Kind) && (d.Door is null || d.Door == door)).Select(d => (b, d)))];
        HashSet<string> whole = [.. doubts.Where(d => !IsFew(d.Doubt)).Select(d => d.Build)];
        HashSet<(string, string)> few = [.. doubts.Where(d => IsFew(d.Doubt)).SelectMany(d => d.Doubt.Stations.Select(s => (d.Build, s)))];
        return new([.. readings.Where(r => r.Door != door || !whole.Contains(r.Build) && !few.Contains((r.Build, r.Station)))],
            [.. doubts.Where(d => !(whole.Contains(d.Build) && IsFew(d.Doubt))).Select(d => new ExcludedBuild(d.Build, $"{(IsFew(d.Doubt) ? $"only station{(d.Doubt.Stations.Count > 1 ? "s" : "")} {string.Join(", ", d.Doubt.Stations)}: " : "")}doubted, {d.Doubt.Kind}: {d.Doubt.Seen}")).Distinct()]);
    }

    private static bool IsFew(Doubt d) => d.Stations.Count is > 0 and <= MostStations;

    private static ReadingLog[] Logs(IReadOnlyList<Reading> readings) => [.. readings.GroupBy(r => r.Source).Select(g => new ReadingLog(g.Key, [.. g], g.Key, []))];
}
