using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>The doors of the Dabchick, their stations, the skin round them, and the targets that scans are registered to.</summary>
internal static class DabchickDoors
{
    /// <summary>Zones of the corners, in the order of the port walk.</summary>
    public static IReadOnlyList<string> CornerZones { get; } = ["corner-lower-forward", "corner-upper-forward", "corner-upper-aft", "corner-lower-aft"];

    /// <summary>Zones of the sides, in the order of the port walk.</summary>
    public static IReadOnlyList<string> SideZones { get; } = ["hinge", "header", "latch", "sill"];

    private static readonly RoundedOutline CabinOutline = new([(2085, -395), (2150, 385), (2765, 372), (2850, -395)], [115, 135, 125, 115]);
    private static readonly RoundedOutline BaggageOutline = new([(3420, -165), (3425, 215), (3830, 205), (3845, -165)], [70, 75, 75, 70]);

    /// <summary>The doors: port, starboard, baggage.</summary>
    public static Door[] Make()
    {
        Door port = Door("P1", "port cabin door", Hand.Left, Walk(CabinOutline, [11, 9, 11, 11]));
        Door starboard = Door("S1", "starboard cabin door", Hand.Right, Mirrored(port));
        Door baggage = Door("B1", "baggage door, port", Hand.Left, Walk(BaggageOutline, [7, 8, 7, 8]));
        return [port, starboard, baggage];
    }

    /// <summary>Targets on the surround of a door.</summary>
    public static IEnumerable<Datum> Datums(Door door)
    {
        int[] beside = door.Code == "B1" ? [1, 8, 14, 21, 28, 36] : [1, 9, 16, 21, 27, 35, 42, 49];
        return beside.Select((at, i) => new Datum(Invariant($"{door.Code}-T{i + 1}"), Rounded(door.Stations[at].Position - (55 + 11 * (i % 3)) * door.Stations[at].IntoDoor), 0.05));
    }

    /// <summary>Points of the nominal skin, clear of the seams.</summary>
    public static IEnumerable<SkinPoint> Skin()
    {
        foreach (bool starboard in (bool[])[false, true])
        {
            for (double x = 1900; x <= (starboard ? 3040 : 4000); x += 60)
            {
                for (double v = -540; v <= 540; v += 60)
                {
                    (double cabin, double baggage) = (CabinOutline.DistanceOutside(x, v), starboard ? double.PositiveInfinity : BaggageOutline.DistanceOutside(x, v));
                    if (Math.Abs(cabin) < 8 || Math.Abs(baggage) < 8) continue;
                    (Point3 p, Vector3 n) = (BarrelSkin.At(x, v), BarrelSkin.Normal(x, v));
                    string? part = cabin < 0 ? (starboard ? "S1" : "P1") : baggage < 0 ? "B1" : null;
                    yield return new(Rounded(starboard ? Mirror(p) : p), Rounded(starboard ? Mirror(n) : n), part);
                }
            }
        }
    }

    private readonly record struct Place(string Zone, Point3 Position, Vector3 Normal, Vector3 Tangent);

    private static List<Place> Walk(RoundedOutline outline, int[] perSide)
    {
        List<Place> places = [];
        for (int i = 0; i < 4; i++)
        {
            for (int k = 0; k < 3; k++) Add(CornerZones[i], outline.OnCorner(i, (2 * k + 1) / 6.0));
            for (int k = 0; k < perSide[i]; k++) Add(SideZones[i], outline.OnSide(i, (k + 0.5) / perSide[i]));
        }
        return places;

        void Add(string zone, RoundedOutline.Step s) =>
            places.Add(new(zone, BarrelSkin.At(s.X, s.V), BarrelSkin.Normal(s.X, s.V), BarrelSkin.Tangent(s.X, s.V, s.Dx, s.Dv)));
    }

    /// <summary>The places of the other hand: mirrored in y, and walked clockwise again as seen from its own outside, from the same corner.</summary>
    private static List<Place> Mirrored(Door port) =>
        [.. port.Stations.Select((_, i) => port.Stations[(2 - i + port.Stations.Count) % port.Stations.Count])
            .Select(s => new Place(s.Zone, Mirror(s.Position), Mirror(s.Normal), -Mirror(s.Tangent)))];

    private static Point3 Mirror(Point3 p) => new(p.X, -p.Y, p.Z);

    private static Vector3 Mirror(Vector3 v) => new(v.X, -v.Y, v.Z);

    private static Door Door(string code, string title, Hand hand, List<Place> places)
    {
        List<Station> stations = [];
        double along = 0;
        for (int i = 0; i < places.Count; i++)
        {
            // Rounded as they are written, so that the plan in memory is the plan in the files.
            (Point3 p, Vector3 n, Vector3 t) = (Rounded(places[i].Position), Rounded(places[i].Normal), Rounded(places[i].Tangent));
            if (i > 0) along += p.DistanceTo(stations[^1].Position);
            // Clockwise as seen from outside: the door lies to the right of the way, against n x t.
            stations.Add(new(Invariant($"{i + 1}"), places[i].Zone, p, n, t, -n.Cross(t).ToUnit(), i, along));
        }
        return new()
        {
            Code = code,
            Title = title,
            Hand = hand,
            GapDefinition = new(GapKind.Edge, 6),
            FlushDefinition = new(FlushKind.MidGap, null, null, null),
            ExpansionPerK = 2.5e-6,          // carbon fabric door
            SurroundExpansionPerK = 13e-6,   // glass fabric fuselage
            SealLeverMm = code == "B1" ? 205 : 365,    // the hinges sit at the forward edge
            HandleLeverMm = code == "B1" ? 390 : 690,
            LeakLengthMm = 40,
            Stations = stations,
            PerimeterMm = along + stations[^1].Position.DistanceTo(stations[0].Position),
        };
    }

    /// <summary>As it is written in the files.</summary>
    public static Point3 Rounded(Point3 p) => new(Math.Round(p.X, 3), Math.Round(p.Y, 3), Math.Round(p.Z, 3));

    /// <summary>As it is written in the files.</summary>
    public static Vector3 Rounded(Vector3 v) => new(Math.Round(v.X, 8), Math.Round(v.Y, 8), Math.Round(v.Z, 8));
}
