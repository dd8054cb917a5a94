using GapFlush.Demo;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Sections;

namespace GapFlush.Tests.Scenes;

/// <summary>A made scan of a door in its opening, in the plan's axes, with the truth it was made from.</summary>
/// <remarks>Profiles with exact edges are swept along a rounded outline on a barrel. The truth at a station is the exact section of the very outlines that were swept through it.</remarks>
internal sealed class SeamScene
{
    public const double NominalGap = 4.4;

    private const double StripMm = 260;

    private readonly SceneOptions _options;
    private readonly SeededRandom _random;
    private readonly RoundedOutline _outline;
    private readonly List<(double From, double Length, int Index, bool Corner)> _stretches = [];
    private readonly double _surroundRadius, _doorRadius, _surroundDraft, _doorDraft;
    private readonly Vector3 _shift, _turn;
    private readonly (double Amplitude, double Waves, double Phase)[] _gapWaves, _flushWaves, _surroundWaves;
    private readonly Vector3[] _passShift;
    private readonly double[] _passAngle;
    private readonly Point3 _centre;
    private readonly Dictionary<(long, long, long, int), Vector3> _shared = [];

    public SeamScene(SceneOptions options)
    {
        _options = options;
        _random = new(options.Seed);
        _outline = options.Shape switch
        {
            1 => new([(2300, -300), (2310, 300), (2700, 290), (2720, -310)], [60, 70, 60, 80]),
            2 => new([(2200, -260), (2200, 260), (2720, 260), (2720, -260)], [250, 250, 250, 250]),
            _ => new([(2085, -395), (2150, 385), (2765, 372), (2850, -395)], [115, 135, 125, 115]),
        };
        double at = 0;
        for (int i = 0; i < 4; i++)
        {
            foreach (bool corner in new[] { true, false })
            {
                double length = 0;
                RoundedOutline.Step before = Step(i, corner, 0);
                for (int k = 1; k <= 200; k++)
                {
                    RoundedOutline.Step here = Step(i, corner, k / 200.0);
                    length += Math.Sqrt((here.X - before.X) * (here.X - before.X) + (here.V - before.V) * (here.V - before.V));
                    before = here;
                }
                _stretches.Add((at, length, i, corner));
                at += length;
            }
        }
        Perimeter = at;
        _centre = BarrelSkin.At(2460, 0);
        ((double Low, double High) rs, (double Low, double High) rd) = (options.SurroundRadii ?? options.Radii ?? (0.6, 1.6), options.DoorRadii ?? options.Radii ?? (0.8, 2.4));
        ((double Low, double High) ds, (double Low, double High) dd) = (options.Drafts ?? (-0.02, 0.08), options.Drafts ?? (0, 0.08));
        (_surroundRadius, _doorRadius) = (_random.Between(rs.Low, rs.High), _random.Between(rd.Low, rd.High));
        (_surroundDraft, _doorDraft) = (_random.Between(ds.Low, ds.High), _random.Between(dd.Low, dd.High));
        double moved = options.Displaced ? options.DisplacedBy : 0;
        _shift = moved * new Vector3(_random.Normal(0, 0.4), _random.Normal(0, 0.4), _random.Normal(0, 0.4));
        _turn = moved * new Vector3(_random.Normal(0, 8e-4), _random.Normal(0, 8e-4), _random.Normal(0, 8e-4));
        _gapWaves = Waves(0.08 * moved);
        _flushWaves = Waves(0.10 * moved);
        _surroundWaves = Waves(0.06 * moved);
        _passAngle = options.HideSurroundEdge ? [0, -0.7] : options.TwoPasses ? [0.7, -0.7] : [0, 0.7, -0.7];
        _passShift = [.. _passAngle.Select(_ => options.PassSd * new Vector3(_random.Normal(), _random.Normal(), _random.Normal()))];

        List<Station> stations = [];
        for (int i = 0; i < options.Stations; i++)
        {
            double along = Perimeter * (i + 0.37) / options.Stations;
            (Point3 c, Vector3 t, Vector3 n, Vector3 u) = Frame(along);
            stations.Add(new($"{i + 1}", "seam", c, n, t, u, i, Perimeter * i / options.Stations));
        }
        Door = new()
        {
            Code = "P1",
            Title = "door",
            Hand = Hand.Left,
            GapDefinition = new(GapKind.Edge, 6),
            FlushDefinition = new(FlushKind.MidGap, null, null, null),
            Stations = stations,
            PerimeterMm = Perimeter,
        };
        Sides = [.. Enumerable.Range(0, options.Stations).Select(i => SidesAt(Perimeter * (i + 0.37) / options.Stations))];
        Truth = [.. Enumerable.Range(0, options.Stations).Select(i => TruthAt(Perimeter * (i + 0.37) / options.Stations))];
        Plan = new()
        {
            Name = "made",
            AircraftType = "made",
            Doors = [Door],
            Limits = new([new LimitRow(null, null, null, Characteristic.Gap, null, options.Gap, new(options.Gap - 2, options.Gap + 3), 0)]),
            Skin = [.. Skin()],
        };
    }

    public double Perimeter { get; }

    public Door Door { get; }

    public FitPlan Plan { get; }

    /// <summary>True gap and flush at each station under the door's definitions.</summary>
    public IReadOnlyList<(double Gap, double Flush)> Truth { get; }

    /// <summary>Each side's own true place against nominal at each station.</summary>
    public IReadOnlyList<(double SurroundEdge, double SurroundFace, double DoorEdge, double DoorFace)> Sides { get; }

    /// <summary>The mean shift of the passes: what a target that all of them see is off by, too.</summary>
    public Vector3 MeanPassShift => 1.0 / _passShift.Length * _passShift.Aggregate(default(Vector3), (a, b) => a + b);

    /// <summary>The outlines at a station, in words.</summary>
    public string Describe(int station)
    {
        (Outline s, Outline d) = Outlines(Perimeter * (station + 0.37) / _options.Stations);
        return $"S {s.Profile} {s.Corner} D {d.Profile} {d.Corner}";
    }

    /// <summary>All points of the scan, in the plan's axes.</summary>
    public IEnumerable<Point3> Points(int every = 1)
    {
        double pitch = _options.Pitch, step = _options.AlongPitch ?? pitch;
        for (double along = 0; along < Perimeter; along += step)
        {
            if (_options.OnlyNearStations && (Math.Abs(Wrapped(along)) > 17.5 || StationNear(along) % every != 0)) continue;
            (Point3 c, Vector3 t, Vector3 n, Vector3 u) = Frame(along);
            (Outline surround, Outline door) = Outlines(along);
            double gap = door.Corner.X - surround.Corner.X;
            foreach ((Outline side, bool isDoor) in new[] { (surround, false), (door, true) })
            {
                foreach (OutlinePiece piece in side.Pieces)
                {
                    foreach ((Point2 p, Point2 normal) in Samples(piece, isDoor, pitch))
                    {
                        if (_options.Thinning > 0 && _random.Unit() < _options.Thinning) continue;
                        int pass = _random.Below(_passAngle.Length);
                        if (_options.Clutter && IsCovered(along, p, isDoor ? door : surround, isDoor)) continue;
                        double height = p.Y - side.Corner.Y;
                        if (-height - side.Profile.Break.RadiusMm - side.Profile.Break.AlongWallMm > _options.SeenWallMm) continue;
                        if (!(_options.Layout == PassLayout.ByAngle ? Sees(pass, p, normal, height, gap) : Enumerable.Range(0, _passAngle.Length).Any(k => Sees(k, p, normal, height, gap)))) continue;
                        if (_options.Layout == PassLayout.Strips) pass = (int)(along / StripMm) % _passAngle.Length;
                        Point2 q = p;
                        double edge = Math.Min(3, (p - side.Corner).Length);
                        if (_options.EdgeBendMm != 0) q += _options.EdgeBendMm * Math.Exp(-edge / 0.5) * normal;
                        if (isDoor && _options.PaintMm != 0 && p.X - side.Corner.X > 5) q += _options.PaintMm * normal;
                        if (_options.Outliers > 0 && _random.Unit() < _options.Outliers) q += new Point2(_random.Between(-3, 3), _random.Between(-3, 3));
                        yield return Noisy(c + _random.Between(-step / 2, step / 2) * t + (q.X * u + q.Y * n), pass, 1 + (_options.EdgeNoise - 1) * Math.Exp(-edge));
                    }
                }
            }
            if (_options.Clutter)
            {
                foreach (Point2 p in Clutter(along, surround, door)) yield return Noisy(c + (p.X * u + p.Y * n), _random.Below(_passAngle.Length));
            }
        }
        if (_options.FarPitch <= 0) yield break;
        // Fine grids ask a raster for their distance from the outline: it is good to a hundredth of a millimetre, and a hundred times quicker.
        Func<double, double, double> outside = _options.FarPitch < 4 ? OutsideByRaster() : _outline.DistanceOutside;
        for (double x = 1960 - _options.FarBeyond.X; x <= 2970 + _options.FarBeyond.X; x += _options.FarPitch)
        {
            for (double v = -500 - _options.FarBeyond.V; v <= 500 + _options.FarBeyond.V; v += _options.FarPitch)
            {
                (double px, double pv) = (x + _random.Between(-0.5, 0.5) * _options.FarPitch, v + _random.Between(-0.5, 0.5) * _options.FarPitch);
                double d = outside(px, pv);
                if (Math.Abs(d) < 26) continue;
                Point3 p = BarrelSkin.At(px, pv);
                if (d < 0) p += _shift + _turn.Cross(p - _centre);
                yield return Noisy(p, _random.Below(_passAngle.Length));
            }
        }
    }

    private Func<double, double, double> OutsideByRaster()
    {
        const double Cell = 4, FromX = 1940, FromV = -520;
        double[,] value = new double[264, 264];
        for (int i = 0; i < 264; i++)
            for (int k = 0; k < 264; k++) value[i, k] = _outline.DistanceOutside(FromX + Cell * i, FromV + Cell * k);
        return (x, v) =>
        {
            double a = (x - FromX) / Cell, b = (v - FromV) / Cell;
            (int i, int k) = ((int)Math.Floor(a), (int)Math.Floor(b));
            if (i < 0 || k < 0 || i >= 263 || k >= 263) return 100;
            (a, b) = (a - i, b - k);
            return (1 - a) * ((1 - b) * value[i, k] + b * value[i, k + 1]) + a * ((1 - b) * value[i + 1, k] + b * value[i + 1, k + 1]);
        };
    }

    private int StationNear(double along) => (int)Math.Round(along / (Perimeter / _options.Stations) - 0.37 + _options.Stations) % _options.Stations;

    private double Wrapped(double along)
    {
        double step = Perimeter / _options.Stations, x = along / step - 0.37;
        return (x - Math.Round(x)) * step;
    }

    private Point3 Noisy(Point3 p, int pass, double times = 1)
    {
        Vector3 own = _options.Laplace ? new(Laplace(), Laplace(), Laplace()) : new(_random.Normal(), _random.Normal(), _random.Normal());
        if (_options.SharedNoiseMm > 0)
        {
            // Points of one little cube and one pass share a draw: half of the variance.
            double d = _options.SharedNoiseMm;
            (long, long, long, int) cube = ((long)Math.Floor(p.X / d), (long)Math.Floor(p.Y / d), (long)Math.Floor(p.Z / d), pass);
            if (!_shared.TryGetValue(cube, out Vector3 common)) _shared[cube] = common = new(_random.Normal(), _random.Normal(), _random.Normal());
            own = Math.Sqrt(0.5) * (own + common);
        }
        Point3 seen = p + _passShift[pass] + times * _options.Noise * own;
        double grid = _options.QuantumMm;
        return grid > 0 ? new(grid * Math.Round(seen.X / grid), grid * Math.Round(seen.Y / grid), grid * Math.Round(seen.Z / grid)) : seen;
    }

    private double Laplace()
    {
        double v = _random.Between(-1, 1);
        return Math.Sign(v) * -Math.Log(1 - Math.Abs(v)) / Math.Sqrt(2);
    }

    // A pass looks down at an angle to the normal, from the door's side where it is positive. It sees what faces it and what the other edge does not hide.
    private bool Sees(int pass, Point2 p, Point2 normal, double height, double gap)
    {
        (double sin, double cos) = Math.SinCos(_passAngle[pass]);
        if (normal.X * sin + normal.Y * cos < 0.17) return false;
        return height > -0.2 || -height * Math.Abs(sin / cos) < gap - 0.3;
    }

    private IEnumerable<(Point2 Place, Point2 Normal)> Samples(OutlinePiece piece, bool isDoor, double pitch)
    {
        if (!piece.IsArc)
        {
            Point2 d = piece.To - piece.From;
            double length = d.Length;
            Point2 normal = (isDoor ? -1 : 1) / length * d.Turned();
            for (double q = _random.Between(0, pitch); q < length; q += pitch) yield return (piece.From + q / length * d, normal);
            yield break;
        }
        double a0 = Math.Atan2(piece.From.Y - piece.Centre.Y, piece.From.X - piece.Centre.X), a1 = Math.Atan2(piece.To.Y - piece.Centre.Y, piece.To.X - piece.Centre.X);
        double sweep = a1 - a0 - 2 * Math.PI * Math.Round((a1 - a0) / (2 * Math.PI)), arc = Math.Abs(sweep) * piece.Radius;
        // A hollow skin has its centre outside.
        double outward = Math.Sin(a0 + sweep / 2) < -0.3 ? -1 : 1;
        for (double q = _random.Between(0, pitch); q < arc; q += pitch)
        {
            (double sin, double cos) = Math.SinCos(a0 + sweep * q / arc);
            yield return (piece.Centre + piece.Radius * new Point2(cos, sin), outward * new Point2(cos, sin));
        }
    }

    // Under tape and fasteners no skin is seen.
    private bool IsCovered(double along, Point2 p, Outline side, bool isDoor)
    {
        if (isDoor != _options.TapeOnSurround && along % 300 < 60) return (isDoor ? p.X - side.Corner.X : side.Corner.X - p.X) is > 6 and < 14;
        if (isDoor) return false;
        double off = along % 90 - 45, q = p.X - (side.Corner.X - 16);
        return q * q + off * off < 16;
    }

    private IEnumerable<Point2> Clutter(double along, Outline surround, Outline door)
    {
        double middle = (surround.Corner.X + door.Corner.X) / 2, pitch = _options.Pitch;
        // A seal bulb seven millimetres down.
        (double bulbX, double bulbY) = _options.SealOnDoor ? (door.Corner.X - 1.5, door.Corner.Y - 4) : (middle, -7.5);
        for (double a = 0.3; a < Math.PI - 0.3; a += pitch / 1.6) yield return new(bulbX + 1.6 * Math.Cos(a), bulbY + 1.6 * Math.Sin(a));
        // Points hung between the edges by the scanner's own smoothing.
        if (_random.Unit() < 0.5) yield return new(_random.Between(surround.Corner.X, door.Corner.X), _random.Between(-1.5, 0.05));
        if (_random.Unit() < 0.3) yield return new(_random.Between(-25, 25), _random.Between(-8, 5));
        // A strip of tape over the door's (or the surround's) skin, a tenth thick, on one stretch in five; a fastener's head on the surround every 90 mm.
        if (along % 300 < 60)
        {
            for (double q = 6; q < 14; q += pitch)
                yield return (_options.TapeOnSurround ? surround.NearestTo(new(surround.Corner.X - q, 0)) : door.NearestTo(new(door.Corner.X + q, 0))) + new Point2(0, 0.1);
        }
        double off = along % 90 - 45;
        if (Math.Abs(off) < 4)
        {
            for (double q = -4; q < 4; q += pitch)
            {
                double high = 16 - q * q - off * off;
                if (high > 0) yield return surround.NearestTo(new(surround.Corner.X - 16 + q, 0)) + new Point2(0, 0.2 * Math.Sqrt(high));
            }
        }
    }

    private (double, double) TruthAt(double along)
    {
        (Outline surround, Outline door) = Outlines(along);
        SeamSection section = new(surround, door, SectionParameters.Of(Door));
        return (section.Gap(Door.GapDefinition)!.Value, section.Flush(Door.FlushDefinition)!.Value);
    }

    private (double, double, double, double) SidesAt(double along)
    {
        (Outline surround, Outline door) = Outlines(along);
        SeamSection section = new(surround, door, SectionParameters.Of(Door));
        double k = Curvature(along), half = _options.Gap / 2;
        double Nominal(double u) => -k * u * u / 2;
        return (section.ExtremePoints.Surround!.Value.X + half, surround.Corner.Y - Nominal(surround.Corner.X), section.ExtremePoints.Door!.Value.X - half, door.Corner.Y - Nominal(door.Corner.X));
    }

    private (Outline Surround, Outline Door) Outlines(double along)
    {
        (Point3 c, Vector3 t, Vector3 n, Vector3 u) = Frame(along);
        double k = Curvature(along), half = _options.Gap / 2;
        Vector3 moved = _shift + _turn.Cross(c - _centre);
        double tilt = -_turn.Dot(t) * (n.Cross(t).Dot(u) > 0 ? -1 : 1);
        double own = Wave(_surroundWaves, along), past = Wrapped(along), step = past > 8 ? _options.StepMm : 0, fault = step + _options.DentMm * Math.Exp(-past * past / 8.2) - (Math.Abs(past) < 4 ? _options.LumpMm * (1 + Math.Cos(Math.PI * past / 4)) / 2 : 0);
        EdgeBreak surroundEdge = _options.Chamfer ? EdgeBreak.Chamfer(_surroundRadius, 0.8 * _surroundRadius) : EdgeBreak.Radius(_surroundRadius);
        EdgeBreak doorEdge = _options.Chamfer ? EdgeBreak.Chamfer(0.6 * _doorRadius, _doorRadius) : EdgeBreak.Radius(_doorRadius);
        (double ks, double kd) = (k + _options.Bends.Surround, k + _options.Bends.Door);
        Outline surround = Outline.Place(new(surroundEdge, _surroundDraft, ks, 29, 8), false, new(-half + own, -k * half * half / 2), k * half);
        Outline door = Outline.Place(new(doorEdge, _doorDraft, kd, 29, 8), true, new(half + moved.Dot(u) + Wave(_gapWaves, along) + fault, -k * half * half / 2 + moved.Dot(n) + Wave(_flushWaves, along) + _options.Proud + step), -k * half + tilt);
        return (surround, door);
    }

    private (double, double, double)[] Waves(double amplitude) => [.. Enumerable.Range(2, 5).Select(h => (_random.Normal(0, amplitude / 2), (double)h, _random.Between(0, 6.28)))];

    private double Wave((double Amplitude, double Waves, double Phase)[] waves, double along) => waves.Sum(w => w.Amplitude * Math.Sin(2 * Math.PI * w.Waves * along / Perimeter + w.Phase));

    private RoundedOutline.Step Step(int i, bool corner, double fraction) => corner ? _outline.OnCorner(i, fraction) : _outline.OnSide(i, fraction);

    private RoundedOutline.Step StepAt(double along)
    {
        along = (along % Perimeter + Perimeter) % Perimeter;
        (double from, double length, int index, bool corner) = _stretches.Last(s => s.From <= along);
        return Step(index, corner, (along - from) / length);
    }

    private (Point3 C, Vector3 T, Vector3 N, Vector3 U) Frame(double along)
    {
        RoundedOutline.Step s = StepAt(along);
        (Point3 c, Vector3 n, Vector3 t) = (BarrelSkin.At(s.X, s.V), BarrelSkin.Normal(s.X, s.V), BarrelSkin.Tangent(s.X, s.V, s.Dx, s.Dv));
        Vector3 u = n.Cross(t);
        return (c, t, n, u.Dot(_centre - c) > 0 ? u : -u);
    }

    // Normal curvature of the skin across the seam, convex positive.
    private double Curvature(double along)
    {
        RoundedOutline.Step s = StepAt(along);
        (Point3 c, Vector3 t, Vector3 n, Vector3 u) = Frame(along);
        const double H = 1;
        (double dx, double dv) = (s.Dv, -s.Dx);
        Vector3 ahead = BarrelSkin.Normal(s.X + H * dx, s.V + H * dv), back = BarrelSkin.Normal(s.X - H * dx, s.V - H * dv);
        Point3 pa = BarrelSkin.At(s.X + H * dx, s.V + H * dv), pb = BarrelSkin.At(s.X - H * dx, s.V - H * dv);
        return (ahead - back).Dot(u) / (pa - pb).Dot(u);
    }

    private IEnumerable<SkinPoint> Skin()
    {
        for (double x = 1980; x <= 2960; x += 35)
        {
            for (double v = -480; v <= 480; v += 35)
            {
                double d = _outline.DistanceOutside(x, v);
                if (Math.Abs(d) > 8) yield return new(BarrelSkin.At(x, v), BarrelSkin.Normal(x, v), d < 0 ? "P1" : null);
            }
        }
    }
}
