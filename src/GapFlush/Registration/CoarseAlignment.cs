using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>Finds how a scan lies in the plan's axes from any pose, without targets.</summary>
/// <remarks>
/// <para>Method: the nominal seam is laid on the places where the scan shows a seam (<see cref="SeamImage"/>), from 36 turns in the plane and both ways up where the scan does not tell the
/// outward side; if none of these agrees well, from places round about too, since the middle of a part of a door is not the middle of the door. Each start is drawn onto the nearest places of seam,
/// far ones counting less and less. The skin alone slides on itself; the seam is what holds it. METHOD.md, eq. 6 to 9.</para>
/// <para>No answer: the scan shows no seam, or hardly any of it agrees.</para>
/// </remarks>
public sealed class CoarseAlignment
{
    private const int Turns = 36, Hopeful = 16;

    /// <summary>Places of seam, 4 mm each, below which a scan shows none.</summary>
    internal const int Least = 12;

    // Common practice, no source: a door hung 4 mm wrong moves the middle of its gap by half of that.
    private const double LockedMm = 2, LockedHeightMm = 3;

    // Of the answer: a pose that agrees at this much of it may be as good once it is drawn on.
    private const double Near = 0.7;

    private readonly SeamImage _image;
    private readonly SeamCurve _curve;

    private CoarseAlignment(SeamImage image, SeamCurve curve) => (_image, _curve) = (image, curve);

    /// <summary>A pose, with the share of the seam that lies where it should.</summary>
    /// <param name="Motion">From the scan to the plan.</param>
    /// <param name="Locked">Share of the nominal seam, where the scan has skin, that the scan's seam agrees with: 0 to 1.</param>
    /// <param name="MissMm">Root mean square of what is left across the seam where it agrees, mm.</param>
    /// <param name="Seen">Share of the nominal seam where the scan has skin.</param>
    public sealed record Pose(RigidMotion Motion, double Locked, double MissMm, double Seen)
    {
        /// <summary>True where this agrees clearly better than another: at far more of the seam, or as much of it and far more closely.</summary>
        public bool ClearlyBetterThan(Pose? other) =>
            other is null || Locked * Math.Min(1, 2 * Seen) > other.Locked * Math.Min(1, 2 * other.Seen) + 0.2 || (Locked > other.Locked - 0.05 && Seen > other.Seen - 0.1 && MissMm < 0.5 * other.MissMm && other.MissMm > 0.6);
    }

    /// <summary>Looks for the pose of a scan of a door.</summary>
    /// <param name="image">Where the scan shows seams.</param>
    /// <param name="door">The door.</param>
    /// <param name="mirrored">True to look for the door's mirror image.</param>
    /// <param name="second">The best pose that differs from the answer; null where there is none.</param>
    internal static Pose? Find(SeamImage image, Door door, bool mirrored, out Pose? second)
    {
        second = null;
        return image.Seams.Length < Least ? null : new CoarseAlignment(image, mirrored ? SeamCurve.Of(door).Mirrored() : SeamCurve.Of(door)).Search(out second);
    }

    /// <summary>How well a pose that was found by something else agrees with a door; null where hardly at all.</summary>
    internal static Pose? At(SeamImage image, Door door, RigidMotion motion) => new CoarseAlignment(image, SeamCurve.Of(door)).Judge(image.Motion.After(motion.Inverse()));

    private Pose? Search(out Pose? second)
    {
        Vector3 middle = default;
        foreach (Vector3 s in _image.Seams) middle += s / _image.Seams.Length;
        List<Pose> found = From([middle]);
        if (found.Count == 0 || !(found[0].Locked > 0.85 && found[0].Seen > 0.9))
        {
            double step = 0.35 * _curve.SizeMm;
            Vector3[] around = new Vector3[24];
            int n = 0;
            for (int i = -2; i <= 2; i++)
                for (int k = -2; k <= 2; k++) if (i != 0 || k != 0) around[n++] = middle + new Vector3(i * step, k * step, 0);
            found.AddRange(From(around));
            found = InOrder(found);
            if (found.Count > 0 && !(found[0].Locked > 0.85))
            {
                found.AddRange(Beside(found));
                found = InOrder(found);
            }
        }
        Pose? best = found.Count > 0 ? found[0] : null;
        if (best is not null && Judge(Polish(_image.Motion.After(best.Motion.Inverse()))) is Pose polished && polished.Locked > best.Locked - 0.05) best = polished;
        second = null;
        foreach (Pose p in found) if (best is not null && Differs(p, best) && (second is null || Worth(p) > Worth(second))) second = p;
        // What comes near the answer is drawn on as the answer was, or it would look worse than it is.
        if (second is not null && best is not null && second.Locked * second.Seen > Near * best.Locked * best.Seen && Judge(Polish(_image.Motion.After(second.Motion.Inverse()))) is Pose drawn && drawn.Locked > second.Locked && Differs(drawn, best)) second = drawn;
        return best;
    }

    // A pose that agrees at a part of the seam may lie one side's width off the right one, where nothing draws it on: from the best few, again from places some centimetres about.
    private List<Pose> Beside(List<Pose> found)
    {
        const int Few = 4, Ways = 8;
        ReadOnlySpan<double> stepsMm = [25, 50];
        RigidMotion[] starts = new RigidMotion[Math.Min(Few, found.Count) * Ways * stepsMm.Length];
        for (int i = 0; i < starts.Length; i++)
        {
            RigidMotion near = _image.Motion.After(found[i / (Ways * stepsMm.Length)].Motion.Inverse());
            (double sin, double cos) = Math.SinCos(2 * Math.PI * (i % Ways) / Ways);
            double step = stepsMm[i / Ways % stepsMm.Length];
            starts[i] = near with { Shift = near.Shift + new Vector3(step * cos, step * sin, 0) };
        }
        Pose?[] poses = new Pose?[starts.Length];
        Parallel.For(0, starts.Length, k => poses[k] = Judge(Draw(starts[k], 1, [30, 20, 12, 8, 5, 3, 2, 2]).Motion));
        List<Pose> made = [];
        foreach (Pose? pose in poses) if (pose is not null) made.Add(pose);
        return made;
    }

    // The worthiest first; of those alike, the one that was found first.
    private static List<Pose> InOrder(List<Pose> poses)
    {
        double[] worth = new double[poses.Count];
        int[] order = new int[poses.Count];
        for (int k = 0; k < order.Length; k++) (worth[k], order[k]) = (Worth(poses[k]), k);
        Array.Sort(order, (i, k) => worth[k].CompareTo(worth[i]) is not 0 and int by ? by : i.CompareTo(k));
        List<Pose> sorted = new(order.Length);
        foreach (int k in order) sorted.Add(poses[k]);
        return sorted;
    }

    // Much of the seam, closely: a millimetre of miss costs a fifth.
    private static double Worth(Pose p) => p.Locked * Math.Min(1, 1.5 * p.Seen) - 0.2 * p.MissMm;

    private bool Differs(Pose a, Pose b)
    {
        RigidMotion between = a.Motion.After(b.Motion.Inverse());
        double most = 0;
        foreach (SeamCurve.Place s in _curve.Places) most = Math.Max(most, between.Of(s.Position).DistanceTo(s.Position));
        return most > 10;
    }

    private List<Pose> From(Vector3[] middles)
    {
        int[] ways = _image.OutwardSign == 0 ? [1, -1] : [_image.OutwardSign];
        // The nominal seam's own flat axes, normals outward.
        Point3[] positions = new Point3[_curve.Places.Length];
        Vector3 mean = default;
        for (int i = 0; i < positions.Length; i++) (positions[i], mean) = (_curve.Places[i].Position, mean + _curve.Places[i].Normal);
        PrincipalAxes flat = PrincipalAxes.Of(positions);
        Vector3 cz = mean.Dot(flat.Directions[0]) >= 0 ? flat.Directions[0] : -flat.Directions[0], cx = flat.Directions[2], cy = cz.Cross(cx);
        int few = Math.Max(1, _curve.Places.Length / 60);
        (RigidMotion Motion, double Cost)[] starts = new (RigidMotion, double)[Turns * ways.Length * middles.Length];
        Parallel.For(0, starts.Length, at =>
        {
            (int turn, int way, int place) = (at % Turns, ways[at / Turns % ways.Length], at / Turns / ways.Length);
            (double sin, double cos) = Math.SinCos(2 * Math.PI * turn / Turns);
            // Columns: where the seam's axes go in the image.
            Vector3 gx = new(cos, sin, 0), gz = new(0, 0, way), gy = gz.Cross(gx);
            RigidMotion motion = new(new(gx.X * cx.X + gy.X * cy.X + gz.X * cz.X, gx.X * cx.Y + gy.X * cy.Y + gz.X * cz.Y, gx.X * cx.Z + gy.X * cy.Z + gz.X * cz.Z),
                new(gx.Y * cx.X + gy.Y * cy.X + gz.Y * cz.X, gx.Y * cx.Y + gy.Y * cy.Y + gz.Y * cz.Y, gx.Y * cx.Z + gy.Y * cy.Z + gz.Y * cz.Z),
                new(gx.Z * cx.X + gy.Z * cy.X + gz.Z * cz.X, gx.Z * cx.Y + gy.Z * cy.Y + gz.Z * cz.Y, gx.Z * cx.Z + gy.Z * cy.Z + gz.Z * cz.Z), default);
            motion = motion with { Shift = middles[place] - motion.Turn(_curve.Centre.FromOrigin) };
            starts[at] = Draw(motion, few, [80, 60, 40, 30, 20, 15]);
        });
        int[] order = new int[starts.Length];
        for (int k = 0; k < order.Length; k++) order[k] = k;
        Array.Sort(order, (i, k) => starts[i].Cost.CompareTo(starts[k].Cost) is not 0 and int by ? by : i.CompareTo(k));
        // Many starts end in the same place; the best of different ones are worth a closer look.
        RigidMotion[] hopeful = new RigidMotion[Hopeful];
        int count = 0;
        foreach (int k in order)
        {
            if (count == Hopeful) break;
            bool isNew = true;
            for (int i = 0; i < count && isNew; i++) isNew = Apart(hopeful[i], starts[k].Motion) > 15;
            if (isNew) hopeful[count++] = starts[k].Motion;
        }
        Pose?[] poses = new Pose?[count];
        Parallel.For(0, count, k => poses[k] = Judge(Draw(hopeful[k], 1, [20, 12, 8, 5, 3, 2, 2, 2]).Motion));
        return InOrder([.. poses.OfType<Pose>()]);
    }

    private double Apart(RigidMotion a, RigidMotion b)
    {
        double most = 0;
        for (int i = 0; i < _curve.Places.Length; i += 8) most = Math.Max(most, a.Of(_curve.Places[i].Position).DistanceTo(b.Of(_curve.Places[i].Position)));
        return most;
    }

    // Draws the nominal seam onto the scan's.
    private (RigidMotion Motion, double Cost) Draw(RigidMotion motion, int every, ReadOnlySpan<double> reaches)
    {
        double cost = double.PositiveInfinity;
        foreach (double reach in reaches)
        {
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            Point3 centre = motion.Of(_curve.Centre);
            cost = 0;
            int used = 0;
            for (int i = 0; i < _curve.Places.Length; i += every)
            {
                SeamCurve.Place place = _curve.Places[i];
                Point3 p = motion.Of(place.Position);
                int k = _image.Nearest(p.X, p.Y);
                used++;
                if (k < 0)
                {
                    cost += 1;
                    continue;
                }
                Vector3 d = p.FromOrigin - _image.Seams[k], u = motion.Turn(place.IntoDoor), n = motion.Turn(place.Normal);
                double across = d.Dot(u), up = d.Dot(n), along = d.Dot(u.Cross(n)), t = (across * across + 0.25 * up * up) / (reach * reach), w = 1 / (1 + t);
                cost += t * w;
                // A place far along the seam says that the seam is not seen here.
                w *= w / (1 + along * along / (reach * reach + 16));
                Row(m, g, p - centre, u, across, w);
                Row(m, g, p - centre, n, up, 0.5 * w / (1 + up * up / (reach * reach)));
            }
            cost /= used;
            // Movements that nothing holds stay where they are.
            for (int i = 0; i < 6; i++) m[i, i] += 1e-4 * used * (i < 3 ? 1 : 1e4);
            if (Cholesky.Factor(m) is not double[,] factor) return (motion, cost);
            double[] step = Cholesky.Solve(factor, g);
            Vector3 turn = new(-step[3], -step[4], -step[5]);
            if (turn.Length > 0.3) turn = 0.3 / turn.Length * turn;
            motion = RigidMotion.About(centre, turn, new(-step[0], -step[1], -step[2])).After(motion);
        }
        return (motion, cost);
    }

    // The same drawing with every seam that a place is near to, each for as much as it is near, so that it ends where the scan has it and not where it came from.
    private RigidMotion Polish(RigidMotion motion)
    {
        const int Rounds = 40;
        const double Reach = 2, AlongMm = 4, CellMm = 12, EnoughMm = 1e-4;
        Vector3[] seams = _image.Seams;
        PlaceIndex cells = new();
        List<List<int>> held = [];
        for (int s = 0; s < seams.Length; s++)
        {
            int cell = cells.Of(Cell(seams[s].X), Cell(seams[s].Y));
            if (cell == held.Count) held.Add([]);
            held[cell].Add(s);
        }
        for (int round = 0; round < Rounds; round++)
        {
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            Point3 centre = motion.Of(_curve.Centre);
            foreach (SeamCurve.Place place in _curve.Places)
            {
                Point3 p = motion.Of(place.Position);
                Vector3 u = motion.Turn(place.IntoDoor), n = motion.Turn(place.Normal), t = u.Cross(n);
                for (int q = 0; q < 9; q++)
                {
                    int cell = cells.Find(Cell(p.X) + q % 3 - 1, Cell(p.Y) + q / 3 - 1);
                    if (cell < 0) continue;
                    foreach (int s in held[cell])
                    {
                        Vector3 d = p.FromOrigin - seams[s];
                        double across = d.Dot(u), up = d.Dot(n), along = d.Dot(t), w = 1 / (1 + (across * across + 0.25 * up * up) / (Reach * Reach));
                        w *= w * Math.Exp(-along * along / (2 * AlongMm * AlongMm));
                        if (w < 1e-3) continue;
                        Row(m, g, p - centre, u, across, w);
                        Row(m, g, p - centre, n, up, 0.5 * w);
                    }
                }
            }
            for (int i = 0; i < 6; i++) m[i, i] += 1e-4 * _curve.Places.Length * (i < 3 ? 1 : 1e4);
            if (Cholesky.Factor(m) is not double[,] factor) return motion;
            double[] step = Cholesky.Solve(factor, g);
            Vector3 turn = new(-step[3], -step[4], -step[5]), shift = new(-step[0], -step[1], -step[2]);
            motion = RigidMotion.About(centre, turn, shift).After(motion);
            if (shift.Length + turn.Length * _curve.SizeMm < EnoughMm) break;
        }
        return motion;

        static int Cell(double mm) => (int)Math.Floor(mm / CellMm);
    }

    private Pose? Judge(RigidMotion motion)
    {
        int seen = 0, locked = 0;
        double square = 0;
        foreach (SeamCurve.Place place in _curve.Places)
        {
            Point3 p = motion.Of(place.Position);
            if (!_image.HasSkin(p.X, p.Y)) continue;
            seen++;
            int k = _image.Nearest(p.X, p.Y);
            if (k < 0) continue;
            Vector3 d = p.FromOrigin - _image.Seams[k], u = motion.Turn(place.IntoDoor), n = motion.Turn(place.Normal);
            double across = d.Dot(u), along = d.Dot(u.Cross(n));
            if (Math.Abs(across) > LockedMm || Math.Abs(d.Dot(n)) > LockedHeightMm || Math.Abs(along) > 12) continue;
            locked++;
            square += across * across;
        }
        if (locked < Least) return null;
        return new(motion.Inverse().After(_image.Motion), (double)locked / Math.Max(seen, _curve.Places.Length / 4), Math.Sqrt(square / locked), (double)seen / _curve.Places.Length);
    }

    private static void Row(double[,] m, double[] g, Vector3 arm, Vector3 direction, double value, double weight)
    {
        Vector3 turn = arm.Cross(direction);
        ReadOnlySpan<double> j = [direction.X, direction.Y, direction.Z, turn.X, turn.Y, turn.Z];
        for (int i = 0; i < 6; i++)
        {
            double w = weight * j[i];
            g[i] += w * value;
            for (int k = 0; k <= i; k++) m[i, k] += w * j[k];
        }
    }
}
