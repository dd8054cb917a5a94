using GapFlush.Hanging;
using GapFlush.Plan;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>What a sectioned scan says beyond its values: what each deviation is laid to, and which stations are worth drawing.</summary>
public static class ScanFindings
{
    /// <summary>Stations drawn where nobody says which.</summary>
    public const int UsualDrawings = 6;

    /// <summary>Lays the deviations of a scanned door to hang, door, opening and edge; null where too few stations have both sides.</summary>
    public static DeviationShares? Shares(FitPlan plan, DoorScan scan) => DeviationShares.Of(scan.Door, [.. scan.Stations.Select(s => new SidePlaces(s.Station, s.SurroundEdgeMm, s.SurroundFaceMm, s.DoorEdgeMm, s.DoorFaceMm,
        s.GapMm - Target(plan, scan, s, Characteristic.Gap), s.FlushMm - Target(plan, scan, s, Characteristic.Flush), 2 * s.GapUncertaintyMm, 2 * s.FlushUncertaintyMm))]);

    /// <summary>The stations that most need looking at: farthest beyond or nearest to a limit first, by the share of the tolerance that is used up; then those that could not be cut although
    /// there are points, one in three of the places at most.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="scan">The scan.</param>
    /// <param name="count">How many.</param>
    public static IReadOnlyList<StationSection> Worst(FitPlan plan, DoorScan scan, int count = UsualDrawings)
    {
        StationSection[] uncut = [.. scan.Stations.Where(s => (s.GapMm is null || s.FlushMm is null) && s.Shown.Count > 0).Take(count / 3)];
        return [.. scan.Stations.Where(s => s.GapMm is not null && s.FlushMm is not null).OrderByDescending(s => Math.Max(Used(s, Characteristic.Gap, s.GapMm), Used(s, Characteristic.Flush, s.FlushMm))).Take(count - uncut.Length), .. uncut];

        // 1 at a limit; where there is none, by how far from nominal, in millimetres, below everything limited.
        double Used(StationSection s, Characteristic characteristic, double? value)
        {
            LimitRow? row = plan.Limits.For(characteristic, scan.Door.Code, s.Station.Zone, s.Station.Name, scan.Stage);
            if (row is null || value is not double v) return -1;
            double target = DisplacementFits.Target(row) ?? v;
            return row.Limits switch
            {
                { Upper: double upper } when v >= target && upper > target => (v - target) / (upper - target),
                { Lower: double lower } when v < target && lower < target => (target - v) / (target - lower),
                _ => 0,
            };
        }
    }

    /// <summary>Drawings of some stations of a scan.</summary>
    public static IReadOnlyList<SectionPicture> Pictures(FitPlan plan, DoorScan scan, IEnumerable<StationSection> stations) =>
        [.. stations.Select(s => SectionPicture.Of(scan.Door, s, Target(plan, scan, s, Characteristic.Gap) ?? 4))];

    private static double? Target(FitPlan plan, DoorScan scan, StationSection s, Characteristic characteristic) =>
        ScanSectioning.Nominal(plan, scan.Door, s.Station, characteristic, scan.Stage);
}
