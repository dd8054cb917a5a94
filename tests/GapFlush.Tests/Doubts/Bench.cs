using GapFlush.Demo;
using GapFlush.Doubts;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Doubts;

/// <summary>Clean sheets of the demo on the bench, for a test to spoil in one way and look at.</summary>
internal static class Bench
{
    public static FitPlan Plan => Dabchick.Plan;

    public static (string Serial, IReadOnlyList<Reading> Readings) Clean(ulong seed = 0)
    {
        DemoBuild build = Dabchick.CleanBuild(seed);
        return (build.Serial, build.Readings);
    }

    public static ReadingLog Log(IEnumerable<Reading> readings, string name = "sheet.csv", string? hash = null) => new(name, [.. readings], hash ?? name, []);

    /// <summary>The doubts about a clean sheet whose readings were changed, "kind door stations: seen todo".</summary>
    public static string[] After(Func<Reading, Reading?> change, ulong seed = 0, FitPlan? plan = null)
    {
        (string serial, IReadOnlyList<Reading> readings) = Clean(seed);
        return Told(DoubtFinder.Find(plan ?? Plan, serial, null, [Log(readings.Select(change).OfType<Reading>())]));
    }

    public static string[] Told(IEnumerable<Doubt> doubts) =>
        [.. doubts.Select(d => Invariant($"{d.Kind} {d.Door ?? "-"} [{string.Join(' ', d.Stations)}] {d.Seen} {d.ToDo}"))];

    public static string[] Kinds(IEnumerable<Doubt> doubts) => [.. doubts.Select(d => d.Kind).Distinct()];

    public static bool Is(this Reading r, string door, Characteristic what, params string[] stations) =>
        r.Door == door && r.Characteristic == what && (stations.Length == 0 || stations.Contains(r.Station));

    /// <summary>A reading that says another value, written with so many decimals.</summary>
    public static Reading Says(this Reading r, double value, int decimals) => r with
    {
        Value = Math.Round(value, decimals),
        WrittenValue = value.ToString("F" + decimals, System.Globalization.CultureInfo.InvariantCulture),
        WrittenDecimals = decimals,
    };
}
