using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Reports.Maps;

namespace GapFlush.Product.Tests.Maps;

/// <summary>Doors of many shapes with any number of stations out, for layouts that must hold whatever comes.</summary>
internal static class SyntheticDoors
{
    public static IReadOnlyList<string> Shapes { get; } = ["trapezium", "circle", "elongated", "small", "waisted"];

    /// <summary>A port door in the plane y = -500, stations running clockwise as seen from outside.</summary>
    public static Door Make(string shape, int stations)
    {
        List<(double X, double Z)> outline = [.. Enumerable.Range(0, 720).Select(i => At(shape, i * 2 * Math.PI / 720))];
        double[] length = new double[outline.Count + 1];
        for (int i = 1; i <= outline.Count; i++) length[i] = length[i - 1] + Distance(outline[i - 1], outline[i % outline.Count]);
        (double X, double Z)[] at = [.. Enumerable.Range(0, stations).Select(k => Along(length[^1] * k / stations))];
        Vector3 normal = new(0, -1, 0);
        List<Station> made = [];
        double along = 0;
        for (int i = 0; i < stations; i++)
        {
            (double X, double Z) before = at[(i + stations - 1) % stations], after = at[(i + 1) % stations];
            Vector3 tangent = new Vector3(after.X - before.X, 0, after.Z - before.Z).ToUnit();
            Vector3 inward = normal.Cross(tangent);
            if (inward.Dot(new Vector3(-at[i].X, 0, -at[i].Z)) < 0) inward = -inward;
            if (i > 0) along += Distance(at[i - 1], at[i]);
            string zone = new[] { "hinge", "header", "latch", "sill" }[4 * i / stations];
            made.Add(new Station(Invariant($"P1-{i + 1:00}"), zone, new Point3(1500 + at[i].X, -500, 800 + at[i].Z), normal, tangent, inward, i, along));
        }
        return new Door
        {
            Code = "P1",
            Title = "Port door",
            Hand = Hand.Left,
            GapDefinition = new GapDefinition(GapKind.Edge, 6),
            FlushDefinition = new FlushDefinition(FlushKind.MidGap, null, null, null),
            Stations = made,
            PerimeterMm = length[^1],
        };

        (double X, double Z) Along(double distance)
        {
            int i = Array.FindLastIndex(length, outline.Count - 1, l => l <= distance);
            (double X, double Z) a = outline[i], b = outline[(i + 1) % outline.Count];
            double share = (distance - length[i]) / (length[i + 1] - length[i]);
            return (a.X + share * (b.X - a.X), a.Z + share * (b.Z - a.Z));
        }
    }

    public static FitPlan Plan(Door door) => new()
    {
        Name = "dabchick-d4",
        Issue = "C",
        AircraftType = "Dabchick D4",
        Airflow = new Vector3(1, 0, 0),
        Doors = [door],
        Limits = new LimitsTable([new LimitRow(null, null, null, Characteristic.Gap, null, 5, new Limits(4, 6), 2), new LimitRow(null, null, null, Characteristic.Flush, null, 0, new Limits(-0.8, 0.8), 3)]),
    };

    /// <summary>Judged rows with about a share of them not within: outside (some far), undecided or missing.</summary>
    public static DoorMapContent Content(Door door, double shareBad, SeededRandom random, string build = "D4-017", bool oneSided = false, bool seal = false)
    {
        List<ResultRow> rows = [];
        foreach (Characteristic characteristic in seal ? [Characteristic.Gap, Characteristic.Flush, Characteristic.Compression] : new[] { Characteristic.Gap, Characteristic.Flush })
        {
            (double nominal, double half) = characteristic == Characteristic.Gap ? (5.0, 1.0) : characteristic == Characteristic.Flush ? (0.0, 0.8) : (35.0, 15.0);
            Limits limits = new(oneSided && characteristic == Characteristic.Flush ? null : nominal - half, nominal + half);
            foreach (Station station in door.Stations)
            {
                Verdict verdict = random.Unit() < shareBad ? (Verdict)(1 + random.Below(3)) : Verdict.Within;
                double side = random.Unit() < 0.5 && limits.Lower is not null ? -1 : 1;
                double? value = verdict switch
                {
                    Verdict.Missing => null,
                    Verdict.Outside => nominal + side * half * (random.Unit() < 0.2 ? random.Between(2, 30) : random.Between(1.15, 1.5)),
                    Verdict.Undecided => nominal + side * half * random.Between(0.96, 1.04),
                    _ => nominal + half * random.Between(-0.8, 0.8),
                };
                Measurement measurement = new()
                {
                    Build = build,
                    Door = door.Code,
                    Zone = station.Zone,
                    Station = station.Name,
                    Characteristic = characteristic,
                    Value = value,
                    StandardUncertainty = value is null ? null : 0.04,
                    Origin = MeasurementOrigin.Readings,
                };
                rows.Add(new ResultRow(measurement, nominal, limits, verdict, value is null ? "no reading" : null));
            }
        }
        return new DoorMapContent(Plan(door), door, build, "trial", rows,
            [("Read", "2026-03-11 14:20 to 15:05"), ("Inspector", "R. Sedge"), ("Gauges", "SG-04 (calibration due 2026-09-30), TG-11 (due 2026-06-30)"), ("Temperature", "20.8 °C, stated at 20 °C")], 1);
    }

    private static (double X, double Z) At(string shape, double angle)
    {
        (double sin, double cos) = Math.SinCos(-angle);
        switch (shape)
        {
            case "circle":
                return (300 * cos, 300 * sin);
            case "elongated":
                return (900 * Soft(cos), 130 * Soft(sin));
            case "small":
                return (150 * Soft(cos), 100 * Soft(sin));
            case "waisted":
                double waist = 1 - 0.3 * cos * cos * cos * cos * Math.Abs(cos);
                return (500 * Soft(cos) * (0.8 + 0.2 * Math.Abs(sin)) * waist, 420 * Soft(sin));
            default:
                double z = 480 * Soft(sin);
                return ((430 - 0.14 * z) * Soft(cos) + 0.08 * z, z);
        }

        // A rounded square from a circle: superellipse of the fourth power.
        static double Soft(double v) => Math.Sign(v) * Math.Sqrt(Math.Abs(v));
    }

    private static double Distance((double X, double Z) a, (double X, double Z) b) => Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.Z - b.Z) * (a.Z - b.Z));
}
