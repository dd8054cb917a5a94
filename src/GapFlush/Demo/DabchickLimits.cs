using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>The limits of the Dabchick.</summary>
internal static class DabchickLimits
{
    /// <summary>The rows of <c>limits.csv</c>.</summary>
    public static List<LimitRow> Rows()
    {
        List<LimitRow> rows = [];
        foreach (string zone in (string[])[.. DabchickDoors.SideZones, .. DabchickDoors.CornerZones])
        {
            double half = zone.StartsWith("corner", StringComparison.Ordinal) ? 0.9 : 0.8;
            foreach ((string? stage, bool painted) in Stagewise) Add(null, zone, null, Characteristic.Gap, stage, DabchickPlan.NominalGap(zone, painted), -half, half);
        }
        // The striker plate of the cabin doors wants a closer edge; the drain cut-out in the sill leaves more.
        foreach ((string door, string striker, string cutOut) in (IEnumerable<(string, string, string)>)[("P1", "35", "49"), ("S1", "23", "9")])
        {
            foreach ((string? stage, bool painted) in Stagewise)
            {
                Add(door, "latch", striker, Characteristic.Gap, stage, DabchickPlan.NominalGap("latch", painted), -0.7, 0.7);
                Add(door, "sill", cutOut, Characteristic.Gap, stage, DabchickPlan.NominalGap("sill", painted), -0.8, 1.1);
            }
        }
        Add(null, null, null, Characteristic.Flush, null, 0, -0.8, 0.8);
        foreach (string zone in DabchickDoors.CornerZones) Add(null, zone, null, Characteristic.Flush, null, 0, -0.9, 0.9);
        Add("P1", "latch", "35", Characteristic.Flush, null, 0, -0.7, 0.7);
        Add("S1", "latch", "23", Characteristic.Flush, null, 0, -0.7, 0.7);
        Add(null, null, null, Characteristic.StepForward, null, 0, null, 0.85);
        Add(null, "hinge", null, Characteristic.StepForward, null, 0, null, 0.75);
        Add(null, null, null, Characteristic.StepAft, null, 0, null, 0.9);
        foreach (string zone in DabchickDoors.SideZones)
        {
            Add(null, zone, null, Characteristic.GapRange, null, null, null, 1.0);
            Add(null, zone, null, Characteristic.GapTaper, null, 0, -2.5, 2.5);
            Add("B1", zone, null, Characteristic.GapTaper, null, 0, -5.0, 5.0);
        }
        Add(null, null, null, Characteristic.Twist, null, 0, -1.2, 1.2);
        foreach (string door in (string[])["P1", "S1"])
        {
            Add(door, null, null, Characteristic.LandGap, null, DabchickPlan.NominalLandGap(door, ""), -1.1, 1.1);
            Add(door, "sill", null, Characteristic.LandGap, null, DabchickPlan.NominalLandGap(door, "sill"), -1.2, 1.2);
            Add(door, null, null, Characteristic.ClosingLoad, null, null, null, 230);
            Add(door, null, null, Characteristic.HandleForce, null, null, null, 120);
        }
        Add("B1", null, null, Characteristic.LandGap, null, DabchickPlan.NominalLandGap("B1", ""), -0.9, 0.9);
        Add("B1", null, null, Characteristic.ClosingLoad, null, null, null, 110);
        Add("B1", null, null, Characteristic.HandleForce, null, null, null, 60);
        Add(null, null, null, Characteristic.Compression, null, 35, -15, 15);
        foreach (string zone in DabchickDoors.CornerZones) Add(null, zone, null, Characteristic.Compression, null, 35, -17, 17);
        Add(null, null, null, Characteristic.Slope, null, null, 0.5, null);
        Add(null, null, null, Characteristic.PondDepth, null, 0, null, 2);
        return rows;

        // Ends are given from the nominal where there is one, else as they stand.
        void Add(string? door, string? zone, string? station, Characteristic characteristic, string? stage, double? nominal, double? lower, double? upper) =>
            rows.Add(new(door, zone, station, characteristic, stage, nominal,
                new(End(nominal, lower), End(nominal, upper)), rows.Count + 2));

        static double? End(double? nominal, double? end) => end is double e ? Math.Round((nominal ?? 0) + e, 3) : null;
    }

    private static readonly (string? Stage, bool Painted)[] Stagewise = [(null, true), (DabchickPlan.TrialFit, false)];
}
