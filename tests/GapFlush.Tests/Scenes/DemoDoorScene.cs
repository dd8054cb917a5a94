using GapFlush.Demo;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Scenes;

/// <summary>What is wrong with a scanned demo door and its surroundings.</summary>
internal sealed record DemoDoorFaults
{
    /// <summary>How far the middle of the door stands out of its own loft, mm; its edge does not.</summary>
    public double BulgeMm { get; init; }

    /// <summary>How the whole door is moved, mm and rad, about its centre.</summary>
    public (Vector3 Shift, Vector3 Turn) Moved { get; init; }

    /// <summary>Height of waves of the surround's skin, mm, over 260 to 400 mm; the door's skin is true.</summary>
    public double SkinWaveMm { get; init; }

    /// <summary>Height of waves of the surround's edge, mm.</summary>
    public double EdgeWaveMm { get; init; }

    /// <summary>Share of the door, as seen from its centre, that something stood in front of.</summary>
    public double Hidden { get; init; }
}

/// <summary>A made scan of one of the demo's three doors, with 150 mm of its surround, in the plan's axes.</summary>
/// <remarks>Profiles (skin, edge radius, wall) are swept along the outline; gaps are the plan's, halved about the seam, and run straight from station to station.</remarks>
internal sealed class DemoDoorScene
{
    private const double Noise = 0.035, Pitch = 0.9, FarPitch = 5, SkinMm = 27, WallMm = 5.5, SurroundRadius = 0.9, DoorRadius = 1.3, AroundMm = 150;

    // As in the demo's plan.
    private static readonly RoundedOutline Cabin = new([(2085, -395), (2150, 385), (2765, 372), (2850, -395)], [115, 135, 125, 115]);
    private static readonly RoundedOutline Baggage = new([(3420, -165), (3425, 215), (3830, 205), (3845, -165)], [70, 75, 75, 70]);

    private readonly DemoDoorFaults _faults;
    private readonly RoundedOutline _outline;
    private readonly SeededRandom _random;
    private readonly bool _starboard;
    private readonly double _phase;

    public DemoDoorScene(string door, DemoDoorFaults faults, ulong seed)
    {
        Plan = DabchickPlan.Make();
        Door = Plan.FindDoor(door)!;
        (_faults, _outline, _starboard, _random) = (faults, door == "B1" ? Baggage : Cabin, door == "S1", new(seed));
        _phase = _random.Between(0, 6.28);
    }

    public FitPlan Plan { get; }

    public Door Door { get; }

    /// <summary>All points of the scan.</summary>
    public IEnumerable<Point3> Points()
    {
        Point3 centre = Mirrored(Door.Centre);
        double hiddenFrom = _random.Between(-Math.PI, Math.PI);
        foreach (Point3 p in All(centre))
        {
            Vector3 d = p - centre;
            double angle = Math.Atan2(d.Z, d.X) - hiddenFrom;
            angle -= 2 * Math.PI * Math.Floor(angle / (2 * Math.PI));
            if (angle < 2 * Math.PI * _faults.Hidden) continue;
            yield return Mirrored(p + Noise * new Vector3(_random.Normal(), _random.Normal(), _random.Normal()));
        }
    }

    // The starboard door is made on the port side and mirrored.
    private Point3 Mirrored(Point3 p) => _starboard ? p with { Y = -p.Y } : p;

    private IEnumerable<Point3> All(Point3 centre)
    {
        double along = 0;
        foreach ((RoundedOutline.Step s, double step) in Walk())
        {
            along += step;
            (Point3 c, Vector3 n, Vector3 t) = (BarrelSkin.At(s.X, s.V), BarrelSkin.Normal(s.X, s.V), BarrelSkin.Tangent(s.X, s.V, s.Dx, s.Dv));
            Vector3 u = -n.Cross(t);
            double half = HalfGap(Mirrored(c)), own = _faults.EdgeWaveMm * Math.Sin(along / 55 + _phase);
            foreach ((bool isDoor, double radius) in new[] { (false, SurroundRadius), (true, DoorRadius) })
            {
                double side = isDoor ? 1 : -1, edge = side * half + (isDoor ? 0 : own);
                foreach ((double back, double down) in Profile(radius))
                {
                    // Skin as it lies there, or at the end of the radius for what lies below it.
                    Point3 at = BarrelSkin.Under(c + (edge + side * Math.Max(back, radius)) * u);
                    double high = (at - c).Dot(n);
                    Point3 p = c + _random.Between(-Pitch / 2, Pitch / 2) * t + (edge + side * back) * u + (high - down) * n;
                    yield return isDoor ? Moved(p, centre) : p + Wave(p) * n;
                }
            }
        }
        (double x0, double x1, double v0, double v1) = Around();
        for (double x = x0; x <= x1; x += FarPitch)
        {
            for (double v = v0; v <= v1; v += FarPitch)
            {
                (double px, double pv) = (x + _random.Between(-0.5, 0.5) * FarPitch, v + _random.Between(-0.5, 0.5) * FarPitch);
                double beyond = _outline.DistanceOutside(px, pv);
                if (Math.Abs(beyond) < SkinMm || beyond > AroundMm) continue;
                (Point3 p, Vector3 n) = (BarrelSkin.At(px, pv), BarrelSkin.Normal(px, pv));
                // The bulge grows from nothing at 30 mm behind the edge.
                double inside = Math.Min(1, (-beyond - 30) / 120);
                yield return beyond < 0 ? Moved(p + (inside > 0 ? _faults.BulgeMm * inside * inside * (3 - 2 * inside) : 0) * n, centre) : p + Wave(p) * n;
            }
        }
    }

    private Point3 Moved(Point3 p, Point3 centre) => p + _faults.Moved.Shift + _faults.Moved.Turn.Cross(p - centre);

    private double Wave(Point3 p) => _faults.SkinWaveMm / 2 * (Math.Sin(p.X / 41 + _phase) + Math.Sin(p.Z / 63 + 2 * _phase));

    // Half the plan's gap, straight from station to station.
    private double HalfGap(Point3 at)
    {
        (double first, double second, double near, double nearer) = (0, 0, double.PositiveInfinity, double.PositiveInfinity);
        foreach (Station s in Door.Stations)
        {
            double d = s.Position.DistanceTo(at), gap = Plan.Limits.For(Characteristic.Gap, Door.Code, s.Zone, s.Name, "final")!.Nominal!.Value;
            if (d < nearer) (first, second, near, nearer) = (gap, first, nearer, d);
            else if (d < near) (second, near) = (gap, d);
        }
        double w = nearer / (nearer + near);
        return ((1 - w) * first + w * second) / 2;
    }

    private IEnumerable<(RoundedOutline.Step, double)> Walk()
    {
        RoundedOutline.Step? before = null;
        for (int i = 0; i < 4; i++)
        {
            foreach (bool corner in new[] { true, false })
            {
                double length = 0;
                RoundedOutline.Step last = At(0);
                for (int k = 1; k <= 50; k++)
                {
                    RoundedOutline.Step here = At(k / 50.0);
                    length += Apart(last, here);
                    last = here;
                }
                int steps = (int)(length / Pitch);
                for (int k = 0; k < steps; k++)
                {
                    RoundedOutline.Step s = At((k + 0.5) / steps);
                    yield return (s, before is RoundedOutline.Step b ? Apart(b, s) : 0);
                    before = s;
                }

                RoundedOutline.Step At(double fraction) => corner ? _outline.OnCorner(i, fraction) : _outline.OnSide(i, fraction);
            }
        }

        static double Apart(RoundedOutline.Step a, RoundedOutline.Step b) => Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.V - b.V) * (a.V - b.V));
    }

    // Set-back from the wall and depth below the skin: skin, radius, wall.
    private IEnumerable<(double Back, double Down)> Profile(double radius)
    {
        for (double q = SkinMm - Pitch * _random.Unit(); q > radius; q -= Pitch) yield return (q, 0);
        double step = Pitch / radius;
        for (double a = step * _random.Unit(); a < Math.PI / 2; a += step) yield return (radius * (1 - Math.Sin(a)), radius * (1 - Math.Cos(a)));
        for (double d = radius + Pitch * _random.Unit(); d < WallMm; d += Pitch) yield return (0, d);
    }

    private (double X0, double X1, double V0, double V1) Around()
    {
        double[] x = [.. Corners().Select(s => s.X)], v = [.. Corners().Select(s => s.V)];
        return (x.Min() - AroundMm, x.Max() + AroundMm, v.Min() - AroundMm, v.Max() + AroundMm);
    }

    private IEnumerable<RoundedOutline.Step> Corners() => Enumerable.Range(0, 4).SelectMany(i => new[] { _outline.OnSide(i, 0), _outline.OnSide(i, 1) });
}
