using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests;

/// <summary>A door for tests: a rounded rectangle on a barrel of skin, in any hand and walked either way round.</summary>
internal static class SampleDoor
{
    /// <summary>Makes a door of the port side (outward normal mostly -y) or its mirror image on the starboard side.</summary>
    /// <param name="count">Number of stations.</param>
    /// <param name="hand">Left: outward is -y. Right: outward is +y.</param>
    /// <param name="backwards">Walk the stations the other way round.</param>
    /// <param name="barrelMm">Radius of the skin about the fore-aft axis, mm; infinite for a flat door.</param>
    public static Door Make(int count = 24, Hand hand = Hand.Left, bool backwards = false, double barrelMm = 900)
    {
        const double width = 720, height = 900, corner = 110, centreX = 2700, centreZ = 900;
        double side = hand == Hand.Right ? 1 : -1;
        List<(Point3 P, Vector3 N, Vector3 U, string Zone)> places = [];
        double[] lengths = [width - 2 * corner, Math.PI / 2 * corner, height - 2 * corner, Math.PI / 2 * corner, width - 2 * corner, Math.PI / 2 * corner, height - 2 * corner, Math.PI / 2 * corner];
        double total = lengths.Sum();
        for (int k = 0; k < count; k++)
        {
            double at = total * (k + 0.5) / count;
            int piece = 0;
            while (at > lengths[piece]) at -= lengths[piece++];
            double a = width / 2, b = height / 2, f = at - lengths[piece] / 2;
            (double x, double z, double mx, double mz, string zone) = piece switch
            {
                0 => (f, -b, 0.0, -1.0, "sill"),
                2 => (a, f, 1.0, 0.0, "aft"),
                4 => (-f, b, 0.0, 1.0, "header"),
                6 => (-a, -f, -1.0, 0.0, "forward"),
                1 => Corner(a - corner, -b + corner, -Math.PI / 2),
                3 => Corner(a - corner, b - corner, 0),
                5 => Corner(-a + corner, b - corner, Math.PI / 2),
                _ => Corner(-a + corner, -b + corner, Math.PI),
            };
            (double X, double Z, double Mx, double Mz, string) Corner(double cx, double cz, double start)
            {
                double t = start + at / corner;
                return (cx + corner * Math.Cos(t), cz + corner * Math.Sin(t), Math.Cos(t), Math.Sin(t), "corner");
            }
            double ny = double.IsInfinity(barrelMm) ? 1 : Math.Sqrt(barrelMm * barrelMm - z * z) / barrelMm, nz = double.IsInfinity(barrelMm) ? 0 : z / barrelMm;
            Vector3 n = new(0, side * ny, nz);
            double y = double.IsInfinity(barrelMm) ? 0 : barrelMm * ny - barrelMm;
            Vector3 m = new(mx, 0, mz);
            m = (m - m.Dot(n) * n).ToUnit();
            places.Add((new Point3(centreX + x, side * (430 + y), centreZ + z), n, -m, zone));
        }
        if (backwards) places.Reverse();
        List<Station> stations = [];
        double along = 0;
        for (int i = 0; i < count; i++)
        {
            (Point3 p, Vector3 n, Vector3 u, string zone) = places[i];
            if (i > 0) along += p.DistanceTo(places[i - 1].P);
            Vector3 chord = places[(i + 1) % count].P - places[(i + count - 1) % count].P;
            Vector3 t = u.Cross(n);
            if (t.Dot(chord) < 0) t = -t;
            stations.Add(new Station(Invariant($"{i + 1:00}"), zone, p, n, t, u, i, along));
        }
        return new Door
        {
            Code = hand == Hand.Right ? "S1" : "P1",
            Title = "cabin door",
            Hand = hand,
            GapDefinition = new(GapKind.Edge, 6),
            FlushDefinition = new(FlushKind.MidGap, null, null, null),
            Stations = stations,
            PerimeterMm = along + places[^1].P.DistanceTo(places[0].P),
        };
    }
}
