using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>Makes the fit plan of the Dabchick D4, an aircraft that exists nowhere but here.</summary>
internal static class DabchickPlan
{
    internal const string TrialFit = "trial-fit", Final = "final";
    internal const double EdgeBuildMm = 0.10, ReferenceTemperatureC = 20;

    private static readonly string[] CornerZones = ["corner-lower-forward", "corner-upper-forward", "corner-upper-aft", "corner-lower-aft"];
    private static readonly string[] SideZones = ["hinge", "header", "latch", "sill"];

    private static readonly RoundedOutline CabinOutline = new([(2085, -395), (2150, 385), (2765, 372), (2850, -395)], [115, 135, 125, 115]);
    private static readonly RoundedOutline BaggageOutline = new([(3420, -165), (3425, 215), (3830, 205), (3845, -165)], [70, 75, 75, 70]);

    /// <summary>The plan.</summary>
    public static FitPlan Make()
    {
        Door port = Door("P1", "port cabin door", Hand.Left, Walk(CabinOutline, [11, 9, 11, 11]));
        Door starboard = Door("S1", "starboard cabin door", Hand.Right, Mirrored(port));
        Door baggage = Door("B1", "baggage door, port", Hand.Left, Walk(BaggageOutline, [7, 8, 7, 8]));
        Door[] doors = [port, starboard, baggage];
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
            Limits = new(LimitRows()),
            Seals =
            [
                new("P1", null, "DB-8", 8, 12), new("P1", "sill", "DB-9", 9, 12),
                new("S1", null, "DB-8", 8, 12), new("S1", "sill", "DB-9", 9, 12),
                new("B1", null, "DB-6", 6, 15),
            ],
            SealCurves =
            [
                .. Curve("DB-8", 0, 12, 27, 46, 74, 124, 230),
                .. Curve("DB-9", 0, 11, 25, 43, 70, 118, 215),
                .. Curve("DB-6", 0, 9, 20, 35, 57, 98, 185),
            ],
            Channels = [.. doors.SelectMany(Channels)],
            Adjusters = [.. doors.SelectMany(Adjusters)],
            Datums = [.. doors.SelectMany(Datums)],
            Skin = [.. Skin()],
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

    private static IEnumerable<SealLoadPoint> Curve(string seal, params double[] loads) => loads.Select((load, i) => new SealLoadPoint(seal, 10 * i, load));

    // ---- doors ----

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
            Stations = stations,
            PerimeterMm = along + stations[^1].Position.DistanceTo(stations[0].Position),
        };
    }

    private static Point3 Rounded(Point3 p) => new(Math.Round(p.X, 3), Math.Round(p.Y, 3), Math.Round(p.Z, 3));

    private static Vector3 Rounded(Vector3 v) => new(Math.Round(v.X, 8), Math.Round(v.Y, 8), Math.Round(v.Z, 8));

    // ---- limits ----

    private static List<LimitRow> LimitRows()
    {
        List<LimitRow> rows = [];
        foreach (string zone in (string[])[.. SideZones, .. CornerZones])
        {
            double half = zone.StartsWith("corner", StringComparison.Ordinal) ? 0.9 : 0.8;
            foreach ((string? stage, bool painted) in Stagewise) Add(null, zone, null, Characteristic.Gap, stage, NominalGap(zone, painted), -half, half);
        }
        // The striker plate of the cabin doors wants a closer edge; the drain cut-out in the sill leaves more.
        foreach ((string door, string striker, string cutOut) in (IEnumerable<(string, string, string)>)[("P1", "35", "49"), ("S1", "23", "9")])
        {
            foreach ((string? stage, bool painted) in Stagewise)
            {
                Add(door, "latch", striker, Characteristic.Gap, stage, NominalGap("latch", painted), -0.7, 0.7);
                Add(door, "sill", cutOut, Characteristic.Gap, stage, NominalGap("sill", painted), -0.8, 1.1);
            }
        }
        Add(null, null, null, Characteristic.Flush, null, 0, -0.8, 0.8);
        foreach (string zone in CornerZones) Add(null, zone, null, Characteristic.Flush, null, 0, -0.9, 0.9);
        Add("P1", "latch", "35", Characteristic.Flush, null, 0, -0.7, 0.7);
        Add("S1", "latch", "23", Characteristic.Flush, null, 0, -0.7, 0.7);
        Add(null, null, null, Characteristic.StepForward, null, 0, null, 0.85);
        Add(null, "hinge", null, Characteristic.StepForward, null, 0, null, 0.75);
        Add(null, null, null, Characteristic.StepAft, null, 0, null, 0.9);
        foreach (string zone in SideZones)
        {
            Add(null, zone, null, Characteristic.GapRange, null, null, null, 1.0);
            Add(null, zone, null, Characteristic.GapTaper, null, 0, -2.5, 2.5);
            Add("B1", zone, null, Characteristic.GapTaper, null, 0, -5.0, 5.0);
        }
        Add(null, null, null, Characteristic.Twist, null, 0, -1.2, 1.2);
        foreach (string door in (string[])["P1", "S1"])
        {
            Add(door, null, null, Characteristic.LandGap, null, NominalLandGap(door, ""), -1.1, 1.1);
            Add(door, "sill", null, Characteristic.LandGap, null, NominalLandGap(door, "sill"), -1.2, 1.2);
            Add(door, null, null, Characteristic.ClosingLoad, null, null, null, 230);
        }
        Add("B1", null, null, Characteristic.LandGap, null, NominalLandGap("B1", ""), -0.9, 0.9);
        Add("B1", null, null, Characteristic.ClosingLoad, null, null, null, 110);
        Add(null, null, null, Characteristic.Compression, null, 35, -15, 15);
        foreach (string zone in CornerZones) Add(null, zone, null, Characteristic.Compression, null, 35, -17, 17);
        Add(null, null, null, Characteristic.Slope, null, null, 0.5, null);
        Add(null, null, null, Characteristic.PondDepth, null, 0, null, 2);
        return rows;

        // Ends are given from the nominal where there is one, else as they stand.
        void Add(string? door, string? zone, string? station, Characteristic characteristic, string? stage, double? nominal, double? lower, double? upper) =>
            rows.Add(new(door, zone, station, characteristic, stage, nominal,
                new(End(nominal, lower), End(nominal, upper)), rows.Count + 2));

        static double? End(double? nominal, double? end) => end is double e ? Math.Round((nominal ?? 0) + e, 3) : null;
    }

    private static readonly (string? Stage, bool Painted)[] Stagewise = [(null, true), (TrialFit, false)];

    // ---- what holds the doors, and where water runs ----

    private static IEnumerable<Adjuster> Adjusters(Door door)
    {
        Station[] hinge = [.. door.Stations.Where(s => s.Zone == "hinge").OrderBy(s => s.Position.Z)];
        Station[] latch = [.. door.Stations.Where(s => s.Zone == "latch").OrderBy(s => s.Position.Z)];
        (Station lower, Station upper) = (hinge[1], hinge[^2]);
        double sign = door.Hand == Hand.Right ? 1 : -1;   // outwards
        yield return At("upper-hinge-shim", upper, 25, upper.Normal, -2, 2, 0.25);
        yield return At("lower-hinge-shim", lower, 25, lower.Normal, -2, 2, 0.25);
        yield return At("upper-hinge-slot", upper, 25, new(1, 0, 0), -1.5, 1.5, null);
        yield return At("lower-hinge-slot", lower, 25, new(1, 0, 0), -1.5, 1.5, null);
        yield return At("hinge-height", lower, 25, new(0, 0, 1), -1.5, 1.5, 0.5);
        if (door.Code == "B1")
        {
            // Two latches, as on many baggage doors: one hold more than a rigid door needs.
            yield return At("upper-latch", latch[^1], 20, new(0, sign, 0), -1.5, 1.5, 0.25);
            yield return At("lower-latch", latch[0], 20, new(0, sign, 0), -1.5, 1.5, 0.25);
        }
        else
        {
            yield return At("latch-striker", latch[latch.Length / 2], 20, latch[latch.Length / 2].Normal, -2, 2, 0.25);
        }

        Adjuster At(string name, Station s, double insideMm, Vector3 direction, double minimum, double maximum, double? step) =>
            new(door.Code, name, Rounded(s.Position + insideMm * s.IntoDoor - 15 * s.Normal), direction, minimum, maximum, step);
    }

    private static IEnumerable<Channel> Channels(Door door)
    {
        // Walked forward to aft on either hand.
        List<Station> stations = [.. door.Stations];
        if (door.Hand == Hand.Right) stations.Reverse();
        if (door.Code != "B1") yield return Hoop(door, stations);
        yield return Sill(door, stations);
    }

    /// <summary>A rain gutter on the skin over the door: highest over the middle of the header, both ends open half way down the posts.</summary>
    private static Channel Hoop(Door door, List<Station> stations)
    {
        Station[] header = [.. stations.Where(s => s.Zone == "header")];
        Station[] over = [.. stations.Where(s => s.Zone is "hinge" or "latch").Where(s => s.Position.Z > 640),
            .. stations.Where(s => s.Zone is "header" or "corner-upper-forward" or "corner-upper-aft")];
        over = [.. over.OrderBy(s => stations.IndexOf(s))];
        // On the port side the walk passes hinge, header, latch in one run; the mirrored walk turned round does the same.
        double middle = header.Average(s => s.Position.X), half = (header.Max(s => s.Position.X) - header.Min(s => s.Position.X)) / 2 + 60;
        List<ChannelPoint> points = [];
        foreach (Station s in over)
        {
            double crown = s.Zone is "hinge" or "latch" ? 0 : 22 * Math.Max(0, 1 - Math.Abs(s.Position.X - middle) / half);
            Point3 p = Rounded(s.Position - (32 + crown) * s.IntoDoor + 6 * s.Normal);
            bool end = points.Count == 0 || points.Count == over.Length - 1;
            points.Add(new(Invariant($"{points.Count + 1}"), p, ChannelShape.Rectangular, 12, 6, null, 0.010,
                end ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.02, 0.5, 0));
        }
        return new(door.Code + "-hoop", door.Code, points);
    }

    /// <summary>The channel in the sill: highest in the middle, a drain hole at each end.</summary>
    private static Channel Sill(Door door, List<Station> stations)
    {
        Station[] sill = [.. stations.Where(s => s.Zone == "sill").OrderBy(s => s.Position.X)];
        double middle = (sill[0].Position.X + sill[^1].Position.X) / 2, half = (sill[^1].Position.X - sill[0].Position.X) / 2;
        double floor = sill.Min(s => s.Position.Z) - 22;
        double hole = door.Code == "B1" ? 6 : 8;
        return new(door.Code + "-sill", door.Code, [.. sill.Select((s, i) =>
        {
            Point3 inboard = s.Position - 24 * s.Normal;
            Point3 p = Rounded(new Point3(inboard.X, inboard.Y, floor + 0.012 * (half - Math.Abs(s.Position.X - middle))));
            bool end = i == 0 || i == sill.Length - 1;
            return new ChannelPoint(Invariant($"{i + 1}"), p, ChannelShape.Trapezoidal, 14, 8, 0.3, 0.010,
                end ? ChannelOutlet.Hole : ChannelOutlet.None, end ? hole : null, 0.004, 0.5, 0);
        })]);
    }

    // ---- what scans are registered to ----

    private static IEnumerable<Datum> Datums(Door door)
    {
        int[] beside = door.Code == "B1" ? [1, 8, 14, 21, 28, 36] : [1, 9, 16, 21, 27, 35, 42, 49];
        return beside.Select((at, i) => new Datum(Invariant($"{door.Code}-T{i + 1}"), Rounded(door.Stations[at].Position - (55 + 11 * (i % 3)) * door.Stations[at].IntoDoor), 0.05));
    }

    private static IEnumerable<SkinPoint> Skin()
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
}
