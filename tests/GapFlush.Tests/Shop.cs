using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests;

/// <summary>A small made-up plan for tests: doors P1 (left) and S1 (its mirror image, numbered the same way round seen from outside the left one) on a
/// barrel-shaped side, and B1, a smaller door without a hand on top; gap nominal 4, except 5 at hinge of P1 and S1; flush nominal 0 to -0.5 by zone.</summary>
internal static class Shop
{
    public static FitPlan Plan { get; } = Make();

    private static FitPlan Make()
    {
        Door p1 = MakeDoor("P1", Hand.Left, -1, 900, 760, 90, 36), s1 = MakeDoor("S1", Hand.Right, 1, 900, 760, 90, 36);
        Door b1 = MakeDoor("B1", Hand.None, 1, 560, 420, 60, 24);
        return new()
        {
            Name = "Shop test plan",
            Issue = "C",
            AircraftType = "T1",
            Airflow = new(1, 0, 0),
            Doors = [p1, s1, b1],
            Stages = [new("trial", "bare", "removed", "latched", "jacks"), new("painted", "painted", "fitted", "latched", "wheels")],
            Paint = [new("bare", "painted", 0.12, 0.02)],
            Gauges =
            [
                new("WG-1", "taper gauge", 0.05, 0.1, 2, new(2027, 6, 30)),
                new("SG-1", "digital step gauge", 0.01, 0.06, 2, new(2027, 6, 30)),
                new("SG-2", "digital step gauge", 0.01, 0.06, 2, new(2027, 6, 30)),
                new("OLD-1", "taper gauge", 0.05, 0.1, 2, new(2026, 1, 31)),
                new("RULE-1", "steel rule", 0.5, 0.5, 2, new(2027, 6, 30)),
            ],
            Builds = [.. Enumerable.Range(1, 9).SelectMany(i => new[] { "P1", "S1", "B1" }.Select(d => new BuildEntry(Invariant($"T1-00{i}"), i, d, "A", "A", i, new(2026, 3, i))))],
            Limits = new(
            [
                new(null, null, null, Characteristic.Gap, null, 4, new(2.5, 5.5), 2),
                new("P1", "hinge", null, Characteristic.Gap, null, 5, new(3.5, 6.5), 3),
                new("S1", "hinge", null, Characteristic.Gap, null, 5, new(3.5, 6.5), 4),
                new(null, null, null, Characteristic.Flush, null, 0, new(-1, 1), 5),
                new(null, "sill", null, Characteristic.Flush, null, -0.5, new(-1.5, 0.5), 6),
                new(null, null, null, Characteristic.LandGap, null, 9, new(8, 10), 7),
            ]),
        };
    }

    /// <summary>A rounded rectangle round a barrel of 700 mm radius; sill at the bottom, then latch (aft), header, hinge.</summary>
    private static Door MakeDoor(string code, Hand hand, double side, double width, double height, double corner, int count)
    {
        const double radius = 700;
        double w = width - 2 * corner, h = height - 2 * corner, quarter = Math.PI / 2 * corner, around = 2 * (w + h) + 4 * quarter;
        List<Station> stations = [];
        double along = 0;
        Point3 last = default;
        for (int i = 0; i < count; i++)
        {
            (double a, double b, double da, double db) = At(around * (i + 0.3) / count);
            (Point3 p, Vector3 n, Vector3 t) = OnBarrel(a, b, da, db);
            if (i > 0) along += last.DistanceTo(p);
            last = p;
            string zone = Math.Abs(da) < 0.7 ? (a > 0 ? "latch" : "hinge") : b > 0 ? "header" : "sill";
            Vector3 u = n.Cross(t);
            if (u.Dot(p - OnBarrel(0, 0, 1, 0).P) > 0) u = -u;
            stations.Add(new(Invariant($"{i + 1:00}"), zone, p, n, t, u, i, along));
        }
        return new()
        {
            Code = code,
            Title = code,
            Hand = hand,
            GapDefinition = new(GapKind.Edge, 6),
            FlushDefinition = new(FlushKind.MidGap, null, null, null),
            ExpansionPerK = 2.5e-6,
            SurroundExpansionPerK = 2.5e-6,
            Stations = stations,
            PerimeterMm = along + last.DistanceTo(stations[0].Position),
        };

        (Point3 P, Vector3 N, Vector3 T) OnBarrel(double a, double b, double da, double db)
        {
            double turn = b / radius;
            Vector3 n = hand == Hand.None ? new(0, Math.Sin(turn), Math.Cos(turn)) : new(0, side * Math.Cos(turn), Math.Sin(turn));
            Vector3 up = hand == Hand.None ? new(0, Math.Cos(turn), -Math.Sin(turn)) : new(0, -side * Math.Sin(turn), Math.Cos(turn));
            return (new Point3(2400, 0, 200) + (a * new Vector3(1, 0, 0)) + (radius * n), n, (da * new Vector3(1, 0, 0)) + (db * up));
        }

        (double A, double B, double Da, double Db) At(double s)
        {
            (double Length, double Turn)[] sides = [(w, 0), (h, 90), (w, 180), (h, 270)];
            (double a, double b) = (-w / 2, -height / 2);
            foreach ((double length, double turnDeg) in sides)
            {
                double turn = turnDeg * Math.PI / 180, c = Math.Cos(turn), d = Math.Sin(turn);
                if (s <= length) return (a + s * c, b + s * d, c, d);
                s -= length;
                (a, b) = (a + length * c, b + length * d);
                if (s <= quarter)
                {
                    double f = s / corner;   // the corner's centre lies to the left of the way
                    return (a + corner * (Math.Sin(turn + f) - d), b + corner * (c - Math.Cos(turn + f)), Math.Cos(turn + f), Math.Sin(turn + f));
                }
                s -= quarter;
                (a, b) = (a + corner * (c - d), b + corner * (d + c));
            }
            throw new InvalidOperationException("Past the end of the outline.");
        }
    }
}
