using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>Makes the fit plan of the Dabchick D4, an aircraft that exists nowhere but here.</summary>
internal static class DabchickPlan
{
    internal const string TrialFit = "trial-fit", Final = "final";
    internal const double EdgeBuildMm = 0.10, ReferenceTemperatureC = 20;

    /// <summary>The plan.</summary>
    public static FitPlan Make()
    {
        Door[] doors = DabchickDoors.Make();
        return new()
        {
            Name = "Dabchick D4 doors",
            Issue = "C",
            AircraftType = "Dabchick D4",
            Axes = "x aft, y starboard, z up",
            Airflow = new Vector3(1, 0, 0),
            ReferenceTemperatureC = ReferenceTemperatureC,
            DecisionRule = DecisionRule.ProveConformity,
            Doors = doors,
            Stages =
            [
                new(TrialFit, "bare", "removed", "latched", "on jacks at the jig points"),
                new(Final, "painted", "fitted", "latched", "on floats"),
            ],
            Paint = [new("bare", "painted", EdgeBuildMm, 0)],
            Attitudes =
            [
                new("afloat-level", 0, 0),
                new("afloat-starboard-low", 0, 3),
                new("afloat-port-low", 0, -3),
                new("beaching-gear-nose-up", 4, 0),
                new("ramp-nose-down", -3, 0),
            ],
            RainMmPerH = 75,
            Limits = new(DabchickLimits.Rows()),
            Seals =
            [
                Lapped("P1", null, "DB-8", 8, 12), Lapped("P1", "sill", "DB-9", 9, 12),
                Lapped("S1", null, "DB-8", 8, 12), Lapped("S1", "sill", "DB-9", 9, 12),
                Lapped("B1", null, "DB-6", 6, 15),
            ],
            SealCurves =
            [
                .. Curve("DB-8", 0, 12, 27, 46, 74, 124, 230),
                .. Curve("DB-9", 0, 11, 25, 43, 70, 118, 215),
                .. Curve("DB-6", 0, 9, 20, 35, 57, 98, 185),
            ],
            Channels = [.. doors.SelectMany(DabchickFittings.Channels)],
            Adjusters = [.. doors.SelectMany(DabchickFittings.Adjusters)],
            Datums = [.. doors.SelectMany(DabchickDoors.Datums)],
            Skin = [.. DabchickDoors.Skin()],
            Gauges =
            [
                new("TG-11", "taper gauge", 0.05, 0.12, 2, new DateOnly(2027, 3, 31)),
                new("TG-12", "taper gauge", 0.05, 0.12, 2, new DateOnly(2027, 3, 31)),
                new("TG-09", "taper gauge", 0.05, 0.12, 2, new DateOnly(2026, 1, 31)),
                new("SR-01", "steel rule", 0.5, 0.6, 2, new DateOnly(2027, 3, 31)),
                new("SG-04", "digital step gauge", 0.01, 0.06, 2, new DateOnly(2027, 5, 31)),
                new("SG-05", "digital step gauge", 0.01, 0.06, 2, new DateOnly(2027, 5, 31)),
                new("DM-02", "depth micrometer", 0.01, 0.06, 2, new DateOnly(2027, 6, 30)),
                new("DM-03", "depth micrometer", 0.01, 0.06, 2, new DateOnly(2027, 6, 30)),
                new("LS-01", "line-laser section", 0.01, 0.08, 2, new DateOnly(2027, 6, 30)),
            ],
            Builds = [.. Enumerable.Range(1, Dabchick.BuildCount).SelectMany(BuildEntries)],
        };
    }

    /// <summary>Nominal gap of a zone in a stage, mm.</summary>
    internal static double NominalGap(string zone, bool painted) => (zone switch { "hinge" => 4.0, "sill" => 5.0, _ => 4.5 }) + (painted ? 0 : 2 * EdgeBuildMm);

    /// <summary>Nominal distance from seal carrier to land, mm: 35 % compression of the seal that sits there.</summary>
    internal static double NominalLandGap(string door, string zone) => door == "B1" ? 3.9 : zone == "sill" ? 5.85 : 5.2;

    /// <summary>Day of the inspection of a build: about every 18 days, on working days.</summary>
    internal static DateOnly DayOf(int sequence)
    {
        DateOnly day = new DateOnly(2026, 3, 11).AddDays(18 * (sequence - 17) + (sequence * 7 % 5 - 4) * (sequence == 17 ? 0 : 1));
        return day.DayOfWeek switch { DayOfWeek.Saturday => day.AddDays(2), DayOfWeek.Sunday => day.AddDays(1), _ => day };
    }

    /// <summary>Door mould revision of a build.</summary>
    internal static string DoorMould(string door, int sequence) => door == "B1" ? "A" : sequence <= 14 ? "B" : "C";

    /// <summary>Surround mould revision of a build.</summary>
    internal static string SurroundMould(string door, int sequence) => door == "B1" && sequence > 20 ? "B" : "A";

    private static IEnumerable<BuildEntry> BuildEntries(int sequence)
    {
        foreach (string door in (string[])["P1", "S1", "B1"])
        {
            // Pull 31 of the older moulds made the first build; one pull in nine is scrapped and never flies.
            int pull = door == "B1" || sequence <= 14 ? 30 + sequence + sequence / 9 : sequence - 14 + (sequence - 14) / 9;
            yield return new(Dabchick.Serial(sequence), sequence, door, DoorMould(door, sequence), SurroundMould(door, sequence), pull, DayOf(sequence));
        }
    }

    // Lands are bonded to about 0.13 mm (one sigma): what the truth of the demo scatters by, see PartModel.
    private static Seal Lapped(string door, string? zone, string seal, double freeHeight, double set) => new(door, zone, seal, freeHeight, set) { LandUncertaintyMm = 0.26 };

    private static IEnumerable<SealLoadPoint> Curve(string seal, params double[] loads) => loads.Select((load, i) => new SealLoadPoint(seal, 10 * i, load));
}
