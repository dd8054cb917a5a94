using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>Compares derived values of a door between two mould revisions. Steps are left to the flush and handle force to the closing load, which they repeat.</summary>
internal static class DerivedOfRevisions
{
    private static readonly Characteristic[] Compared = [Characteristic.Compression, Characteristic.GapRange, Characteristic.GapTaper, Characteristic.Twist, Characteristic.ClosingLoad];

    /// <summary>One comparison before its p value is adjusted.</summary>
    internal sealed record Raw(string? Zone, string? Station, Characteristic Characteristic, TwoSampleComparison Comparison, double? Matters);

    /// <summary>The comparisons, in the order of the contract and of the stations.</summary>
    public static IReadOnlyList<Raw> Of(FitPlan plan, Door door, string? stage, IReadOnlyList<Measurement> measurements, IReadOnlyList<string> earlier, IReadOnlyList<string> later, double mattersMm)
    {
        HashSet<string> used = [.. earlier, .. later];
        List<Raw> all = [];
        foreach (Characteristic characteristic in Compared)
        {
            var places = measurements.Where(m => m.Door == door.Code && m.Stage == stage && m.Characteristic == characteristic && m.Value is not null && used.Contains(m.Build))
                .GroupBy(m => (m.Zone, m.Station)).OrderBy(g => g.Key.Station is string s ? door.Find(s)?.Index ?? int.MaxValue : 0);
            foreach (var place in places)
            {
                Dictionary<string, double> values = place.GroupBy(m => m.Build).ToDictionary(g => g.Key, g => g.Average(m => m.Value!.Value));
                double[] Values(IReadOnlyList<string> builds) => [.. builds.Where(values.ContainsKey).Select(b => values[b])];
                (double[] early, double[] late) = (Values(earlier), Values(later));
                if (early.Length < 2 || late.Length < 2 || new TwoSampleComparison(late, early) is not { WelchStandardError: > 0 } comparison) continue;
                // A change of the land gap by what matters presses the seal by so much of its free height.
                double? matters = characteristic == Characteristic.Compression ? 100 * mattersMm / plan.SealOf(door.Code, place.Key.Zone!)?.FreeHeightMm
                    : characteristic == Characteristic.GapRange || characteristic == Characteristic.Twist ? mattersMm : null;
                all.Add(new(place.Key.Zone, place.Key.Station, characteristic, comparison, matters));
            }
        }
        return all;
    }
}
