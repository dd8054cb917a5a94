using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>How the doors of the demo come out of their moulds and onto their hinges.</summary>
internal sealed class PartModel
{
    private readonly Dictionary<string, MouldField> _moulds = [];
    private readonly Dictionary<string, RigidBasis> _bases;
    private readonly FitPlan _plan;

    public PartModel(FitPlan plan)
    {
        _plan = plan;
        Shifts = PlantShifts();
        _bases = plan.Doors.ToDictionary(d => d.Code, d => new RigidBasis(d));
        foreach (Door door in plan.Doors)
        {
            // The first revision of each mould has a shape of its own, the same for every part pulled from it.
            SeededRandom random = new(Dabchick.Stream(4177, (ulong)door.Code[0]));
            double[] gap = Harmonics(door, random, 2, 0.035, 0.02), flush = Harmonics(door, random, 2, 0.045, 0);
            _bases[door.Code].Gap.RemoveFrom(gap);
            _bases[door.Code].Flush.RemoveFrom(flush);
            _moulds[door.Code] = new(default, default, gap, flush, Harmonics(door, random, 1, 0.04, 0));
        }
    }

    /// <summary>Deviation from nominal that belongs to a mould revision.</summary>
    internal sealed record MouldField(Vector3 TranslationMm, Vector3 RotationRad, double[] Gap, double[] Flush, double[] Land);

    /// <summary>What was planted from one revision to the next.</summary>
    /// <param name="Door">Door code.</param>
    /// <param name="Part">Whether the door mould or the surround mould changed.</param>
    /// <param name="From">Revision before.</param>
    /// <param name="To">Revision after.</param>
    /// <param name="TranslationMm">Rigid part of the shift, mm.</param>
    /// <param name="RotationRad">Rigid part of the turn about the door's centre, rad.</param>
    /// <param name="SizeMm">Part of the gap change that is the same all round, mm.</param>
    /// <param name="GapMm">Remaining change of gap at each station, mm.</param>
    /// <param name="FlushMm">Remaining change of flush at each station, mm.</param>
    internal sealed record MouldShift(string Door, string Part, string From, string To, Vector3 TranslationMm, Vector3 RotationRad, double SizeMm, double[] GapMm, double[] FlushMm)
    {
        /// <summary>Whole change of gap at a station, mm.</summary>
        public double TotalGap(FitPlan plan, int station) => SizeMm + GapMm[station] + Moved(plan, station, s => s.IntoDoor);

        /// <summary>Whole change of flush at a station, mm.</summary>
        public double TotalFlush(FitPlan plan, int station) => FlushMm[station] + Moved(plan, station, s => s.Normal);

        private double Moved(FitPlan plan, int station, Func<Station, Vector3> direction)
        {
            Door door = plan.FindDoor(Door)!;
            Station s = door.Stations[station];
            return direction(s).Dot(TranslationMm + RotationRad.Cross(s.Position - door.Centre));
        }
    }

    /// <summary>The planted mould shifts.</summary>
    internal IReadOnlyList<MouldShift> Shifts { get; }

    private MouldShift[] PlantShifts() =>
    [
        // The hinge pockets of the new port mould sit aft and low, a little turned; its latch edge stands proud over three or four stations.
        Shift("P1", "door", "B", "C", new(0.30, 0, -0.20), new(0, 0.45e-3, 0), 0.04, _ => 0, Bump("P1", "latch", 0.40, 75)),
        // The starboard mould moved nothing but sank over the middle of the header.
        Shift("S1", "door", "B", "C", default, default, 0, _ => 0, Bump("S1", "header", -0.35, 80)),
        // The baggage surround was re-cut along the sill; its gap opened there and nowhere else.
        Shift("B1", "surround", "A", "B", default, default, 0, Bump("B1", "sill", 0.32, 90), _ => 0),
    ];

    /// <summary>The mean of the revisions that made a build's door and surround.</summary>
    public MouldField MouldOf(Door door, int sequence, DemoOptions options)
    {
        MouldField first = _moulds[door.Code];
        double scale = options.ShapeScale;
        (Vector3 t, Vector3 w) = (default(Vector3), default(Vector3));
        (double[] gap, double[] flush) = ([.. first.Gap.Select(v => scale * v)], [.. first.Flush.Select(v => scale * v)]);
        foreach (MouldShift shift in Shifts.Where(s => options.MouldShift && s.Door == door.Code))
        {
            string revision = shift.Part == "door" ? DabchickPlan.DoorMould(door.Code, sequence) : DabchickPlan.SurroundMould(door.Code, sequence);
            if (revision != shift.To) continue;
            (t, w) = (t + shift.TranslationMm, w + shift.RotationRad);
            for (int i = 0; i < gap.Length; i++) (gap[i], flush[i]) = (gap[i] + shift.SizeMm + shift.GapMm[i], flush[i] + shift.FlushMm[i]);
        }
        return new(t, w, gap, flush, [.. first.Land.Select(v => scale * v)]);
    }

    /// <summary>Hangs one door.</summary>
    /// <param name="door">The door.</param>
    /// <param name="sequence">Which build.</param>
    /// <param name="random">The door's own random numbers.</param>
    /// <param name="options">Scales.</param>
    /// <param name="temperatureC">Temperature of the parts.</param>
    /// <param name="story">A displacement told beforehand, or null for the shop's ordinary scatter.</param>
    public DoorTruth Hang(Door door, int sequence, SeededRandom random, DemoOptions options, double temperatureC, DemoStory? story)
    {
        int n = door.Stations.Count;
        MouldField mould = MouldOf(door, sequence, options);
        double turn = door.Code == "B1" ? 1.6 : 1;   // a smaller door turns more for the same error at its hinges
        Vector3 t = new(Scatter(0.23), Scatter(0.20), Scatter(0.23));
        Vector3 w = new(turn * Scatter(0.50e-3), turn * Scatter(0.45e-3), turn * Scatter(0.55e-3));
        double[] gap = Harmonics(door, random, 2, 0.025, 0.015), flush = Harmonics(door, random, 2, 0.030, 0), land = Harmonics(door, random, 1, 0.04, 0.03);
        _bases[door.Code].Gap.RemoveFrom(gap);
        _bases[door.Code].Flush.RemoveFrom(flush);
        bool bulges = random.Unit() < 0.1;
        Func<int, double> bulge = Bump(door, random.Below(n), (random.Unit() < 0.5 ? -1 : 1) * random.Between(0.25, 0.45), random.Between(50, 90));

        if (story?.Displacement(door.Code) is (Vector3 toldT, Vector3 toldW)) (t, w) = (toldT, toldW);
        else (t, w) = (options.HangScale * t + mould.TranslationMm, options.HangScale * w + mould.RotationRad);
        bool painted = options.Stage == DabchickPlan.Final;
        double growth = ((door.SurroundExpansionPerK ?? 0) - (door.ExpansionPerK ?? 0)) * (temperatureC - DabchickPlan.ReferenceTemperatureC);
        Point3 centre = door.Centre;
        double[] trueGap = new double[n], warmGap = new double[n], trueFlush = new double[n], trueLand = new double[n];
        for (int i = 0; i < n; i++)
        {
            Station s = door.Stations[i];
            Vector3 moved = t + w.Cross(s.Position - centre);
            gap[i] = options.ShapeScale * gap[i] + mould.Gap[i];
            flush[i] = options.ShapeScale * flush[i] + mould.Flush[i] + (bulges && options.LocalBulges ? bulge(i) : 0) + (story?.Flush(door, i) ?? 0);
            trueGap[i] = DabchickPlan.NominalGap(s.Zone, painted) + s.IntoDoor.Dot(moved) + gap[i];
            warmGap[i] = trueGap[i] - growth * s.IntoDoor.Dot(s.Position - centre);
            trueFlush[i] = s.Normal.Dot(moved) + flush[i];
            trueLand[i] = DabchickPlan.NominalLandGap(door.Code, s.Zone) + trueFlush[i] + options.ShapeScale * land[i] + mould.Land[i] + (story?.Land(door, i) ?? 0);
        }
        return new()
        {
            Door = door,
            TranslationMm = t,
            RotationRad = w,
            GapMm = trueGap,
            GapAtTemperatureMm = warmGap,
            FlushMm = trueFlush,
            LandGapMm = trueLand,
            GapShapeMm = gap,
            FlushShapeMm = flush,
            TemperatureC = temperatureC,
        };

        // A fitter sees a door hung more than 2.2 sigma wrong and hangs it again.
        double Scatter(double sd) => sd * Math.Clamp(random.Normal(), -2.2, 2.2);
    }

    /// <summary>A smooth hump along the seam, by station.</summary>
    internal static Func<int, double> Bump(Door door, int at, double heightMm, double widthMm) => i =>
    {
        double d = Math.Abs(door.Stations[i].AlongMm - door.Stations[at].AlongMm);
        d = Math.Min(d, door.PerimeterMm - d) / widthMm;
        return d > 4 ? 0 : heightMm * Math.Exp(-d * d / 2);
    };

    private MouldShift Shift(string door, string part, string from, string to, Vector3 t, Vector3 w, double size, Func<int, double> gap, Func<int, double> flush)
    {
        int n = _plan.FindDoor(door)!.Stations.Count;
        return new(door, part, from, to, t, w, size, [.. Enumerable.Range(0, n).Select(gap)], [.. Enumerable.Range(0, n).Select(flush)]);
    }

    /// <summary>A hump in the middle of a zone.</summary>
    private Func<int, double> Bump(string doorCode, string zone, double heightMm, double widthMm)
    {
        Door door = _plan.FindDoor(doorCode)!;
        int[] indices = [.. door.Stations.Where(s => s.Zone == zone).Select(s => s.Index)];
        return Bump(door, indices[indices.Length / 2], heightMm, widthMm);
    }

    private static double[] Harmonics(Door door, SeededRandom random, int lowest, double sd, double meanSd)
    {
        double[] field = new double[door.Stations.Count];
        Array.Fill(field, random.Normal(0, meanSd));
        for (int h = lowest; h <= 5; h++)
        {
            (double a, double b) = (random.Normal(0, sd), random.Normal(0, sd));
            for (int i = 0; i < field.Length; i++)
            {
                double angle = 2 * Math.PI * h * door.Stations[i].AlongMm / door.PerimeterMm;
                field[i] += a * Math.Cos(angle) + b * Math.Sin(angle);
            }
        }
        return field;
    }

    /// <summary>The gap and flush patterns that rigid movements of a door make.</summary>
    private sealed class RigidBasis(Door door)
    {
        public Patterns Gap { get; } = new(door, s => s.IntoDoor);

        public Patterns Flush { get; } = new(door, s => s.Normal);
    }

    /// <summary>An orthonormal basis of the patterns of six rigid movements, so that a shape can be freed of them.</summary>
    private sealed class Patterns
    {
        private readonly List<double[]> _basis = [];

        public Patterns(Door door, Func<Station, Vector3> direction)
        {
            Point3 centre = door.Centre;
            for (int mode = 0; mode < 6; mode++)
            {
                double[] pattern = [.. door.Stations.Select(s =>
                {
                    Vector3 d = direction(s), turn = (s.Position - centre).Cross(d) / 500;
                    return mode switch { 0 => d.X, 1 => d.Y, 2 => d.Z, 3 => turn.X, 4 => turn.Y, _ => turn.Z };
                })];
                double before = Norm(pattern);
                // Twice is enough to be orthogonal to rounding.
                RemoveFrom(pattern);
                RemoveFrom(pattern);
                double after = Norm(pattern);
                if (after > 1e-9 * before) _basis.Add([.. pattern.Select(v => v / after)]);
            }
        }

        public void RemoveFrom(double[] field)
        {
            foreach (double[] pattern in _basis)
            {
                double share = 0;
                for (int i = 0; i < field.Length; i++) share += pattern[i] * field[i];
                for (int i = 0; i < field.Length; i++) field[i] -= share * pattern[i];
            }
        }

        private static double Norm(double[] v) => Math.Sqrt(v.Sum(x => x * x));
    }
}
