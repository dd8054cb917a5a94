using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>Finds how a scan lies in the plan's axes from any pose, without targets.</summary>
/// <remarks>
/// <para>Method: the flat way of the scan is laid on the flat way of the door, both ways up and at 24 turns; from each, points are drawn onto the nominal skin and the seam is
/// locked: near every station the empty stripe between two skins is looked for, and its middle drawn onto the station. The skin alone slides on itself; the stripe is what holds it.
/// METHOD.md, eq. 6 to 9.</para>
/// <para>No answer: no start locks on to two thirds of the stations that have points, or two different poses lock equally well.</para>
/// </remarks>
public sealed class CoarseAlignment
{
    private const int Turns = 24, Fine = 8;
    private readonly Door _door;
    private readonly (Point3 P, Vector3 N)[] _skin;
    private readonly Grid _nominal;
    private readonly Point3 _centre;

    private CoarseAlignment(Door door, (Point3, Vector3)[] skin)
    {
        (_door, _skin, _centre) = (door, skin, door.Centre);
        _nominal = new Grid([.. skin.Select(s => s.Item1)], 60);
    }

    /// <summary>A pose, with the share of stations whose seam lies where it should.</summary>
    /// <param name="Motion">From the scan to the plan.</param>
    /// <param name="Locked">Share of stations that lock, 0 to 1.</param>
    /// <param name="MissMm">Root mean square of what is left across the seam, mm.</param>
    public sealed record Pose(RigidMotion Motion, double Locked, double MissMm);

    /// <summary>Looks for the pose of a scan of a door.</summary>
    /// <param name="sample">The scan, mm.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door.</param>
    /// <param name="nominalGapMm">Usual gap.</param>
    /// <param name="second">The best pose that differs from the answer; null where there is none.</param>
    public static Pose? Find(ScanSample sample, FitPlan plan, Door door, double nominalGapMm, out Pose? second)
    {
        second = null;
        List<(Point3, Vector3)> skin = [.. plan.Skin.Where(s => (s.Door is null || s.Door == door.Code) && door.Stations.Min(t => t.Position.DistanceTo(s.Position)) < 400).Select(s => (s.Position, s.Normal))];
        // Without skin.csv the stations' own surroundings must do.
        foreach (Station t in door.Stations)
            foreach (double d in new[] { -40, -15, 15, 40 }) skin.Add((t.Position + d * t.IntoDoor, t.Normal));
        CoarseAlignment at = new(door, [.. skin]);
        return at.Search(sample, nominalGapMm, out second);
    }

    private Pose? Search(ScanSample sample, double gap, out Pose? second)
    {
        second = null;
        if (sample.Count < 1000) return null;
        Point3[] all = [.. Enumerable.Range(0, sample.Count).Select(i => sample[i])];
        Point3[] few = Voxels(all, 25);
        PrincipalAxes a = PrincipalAxes.Of(few), b = PrincipalAxes.Of([.. _skin.Select(s => s.P)]);
        // A quarter of a million points show a seam on a door; the whole sample is looked at by the best few poses alone.
        Point3[] some = [.. all.Where((_, i) => i % Math.Max(1, all.Length / 250_000) == 0)];
        Grid dense = new(some, 12);
        List<Pose> found = [];
        (Vector3 bz, Vector3 bx) = (b.Directions[0], b.Directions[2]);
        Vector3 by = bz.Cross(bx);
        Vector3 mean = default;
        foreach ((Point3 _, Vector3 n) in _skin) mean += n;
        if (mean.Dot(bz) < 0) (bz, by) = (-bz, -by);
        Point3[] thin = [.. few.Where((_, i) => i % Math.Max(1, few.Length / 250) == 0)];
        (RigidMotion Motion, double Cost)[] starts = new (RigidMotion, double)[2 * Turns];
        Parallel.For(0, 2 * Turns, k =>
        {
            double sign = k % 2 == 0 ? 1 : -1, angle = 2 * Math.PI * (k / 2) / Turns;
            Vector3 az = sign * a.Directions[0], ax = a.Directions[2], ay = az.Cross(ax);
            (double sin, double cos) = Math.SinCos(angle);
            Vector3 tx = cos * bx + sin * by, ty = cos * by - sin * bx;
            // Rows of the turn that takes (ax, ay, az) to (tx, ty, bz).
            RigidMotion turn = new(
                new(tx.X * ax.X + ty.X * ay.X + bz.X * az.X, tx.X * ax.Y + ty.X * ay.Y + bz.X * az.Y, tx.X * ax.Z + ty.X * ay.Z + bz.X * az.Z),
                new(tx.Y * ax.X + ty.Y * ay.X + bz.Y * az.X, tx.Y * ax.Y + ty.Y * ay.Y + bz.Y * az.Y, tx.Y * ax.Z + ty.Y * ay.Z + bz.Y * az.Z),
                new(tx.Z * ax.X + ty.Z * ay.X + bz.Z * az.X, tx.Z * ax.Y + ty.Z * ay.Y + bz.Z * az.Y, tx.Z * ax.Z + ty.Z * ay.Z + bz.Z * az.Z), default);
            turn = turn with { Shift = b.Centroid.FromOrigin - turn.Turn(a.Centroid.FromOrigin) };
            (RigidMotion motion, double cost) = OntoSkin(thin, turn, 10);
            starts[k] = (motion, cost);
        });
        Pose?[] poses = new Pose?[starts.Length];
        int[] order = [.. Enumerable.Range(0, starts.Length).OrderBy(k => starts[k].Cost).ThenBy(k => k)];
        Parallel.For(0, order.Length, i => poses[i] = Lock(dense, some, starts[order[i]].Motion, gap, [60, 60, 40, 25], every: 3));
        Pose[] hopeful = [.. poses.OfType<Pose>().OrderByDescending(p => p.Locked).ThenBy(p => p.MissMm).Take(Fine)];
        poses = new Pose?[hopeful.Length];
        Parallel.For(0, hopeful.Length, i => poses[i] = Lock(dense, some, hopeful[i].Motion, gap, [25, 15, 10, 8], every: 1));
        Pose? best = poses.OfType<Pose>().OrderByDescending(p => p.Locked).ThenBy(p => p.MissMm).FirstOrDefault();
        if (best is null) return null;
        second = poses.OfType<Pose>().Where(p => Differs(p, best)).OrderByDescending(p => p.Locked).FirstOrDefault();
        return best;
    }

    private bool Differs(Pose a, Pose b)
    {
        RigidMotion between = a.Motion.After(b.Motion.Inverse());
        return _door.Stations.Max(s => between.Of(s.Position).DistanceTo(s.Position)) > 10;
    }

    // Points onto the planes of the nearest nominal skin, far ones counting less and less.
    private (RigidMotion Motion, double Cost) OntoSkin(Point3[] points, RigidMotion motion, int rounds)
    {
        double cost = double.PositiveInfinity;
        for (int round = 0; round < rounds; round++)
        {
            double reach = Math.Max(8, 60 * Math.Pow(0.75, round));
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            cost = 0;
            foreach (Point3 p in points)
            {
                Point3 q = motion.Of(p);
                int k = _nominal.Nearest(q, 60);
                if (k < 0)
                {
                    cost += 1;
                    continue;
                }
                double d = (q - _skin[k].P).Dot(_skin[k].N), t = d / reach, w = 1 / (1 + t * t);
                cost += t * t * w;
                Row(m, g, q - _centre, _skin[k].N, d, w * w);
            }
            // Movements that the skin does not hold stay where they are.
            for (int i = 0; i < 6; i++) m[i, i] += 1e-3 * points.Length * (i < 3 ? 1 : 1e4);
            motion = Step(m, g, motion);
        }
        return (motion, cost / points.Length);
    }

    private Pose? Lock(Grid dense, Point3[] all, RigidMotion motion, double gap, double[] reaches, int every)
    {
        double locked = 0, miss = 0;
        // Narrower and narrower: the first look reaches as far as the laying of flat on flat may be off.
        foreach (double reach in reaches)
        {
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            RigidMotion back = motion.Inverse();
            int seen = 0, good = 0;
            double square = 0;
            List<(Station S, double U, double V)> stripes = [];
            foreach (Station s in _door.Stations.Where((_, i) => i % every == 0))
            {
                (bool hasPoints, double? u, double v) = Stripe(dense, all, motion, back, s, reach, gap);
                if (!hasPoints) continue;
                seen++;
                if (u is double off) stripes.Add((s, off, v));
            }
            if (stripes.Count < Math.Min(6, _door.Stations.Count / every)) return null;
            double[] offs = [.. stripes.Select(t => Math.Abs(t.U)).Order()];
            double scale = Math.Max(1.5, 2 * offs[offs.Length / 2]);
            foreach ((Station s, double u, double v) in stripes)
            {
                double w = 1 / (1 + u * u / (scale * scale));
                Row(m, g, s.Position - _centre, s.IntoDoor, u, w * w);
                Row(m, g, s.Position - _centre, s.Normal, v, w * w / (1 + v * v / 100));
                if (Math.Abs(u) < 3 && Math.Abs(v) < 4)
                {
                    good++;
                    square += u * u;
                }
            }
            for (int i = 0; i < 6; i++) m[i, i] += 1e-6 * (i < 3 ? 1 : 1e4);
            motion = Step(m, g, motion);
            (locked, miss) = (good / (double)Math.Max(seen, _door.Stations.Count / every / 2), good > 0 ? Math.Sqrt(square / good) : double.PositiveInfinity);
            if (reach < 20 && locked < 0.15) return null;
        }
        return new(motion, locked, miss);
    }

    // Near a station: is there skin on both sides of an empty stripe about as wide as the gap, and where is its middle?
    private static (bool HasPoints, double? U, double V) Stripe(Grid dense, Point3[] all, RigidMotion motion, RigidMotion back, Station s, double reach, double gap)
    {
        const double Bin = 0.5, Along = 6;
        double half = reach + 8;
        int bins = (int)(2 * half / Bin);
        Span<int> count = stackalloc int[bins];
        Span<double> height = stackalloc double[bins];
        count.Clear();
        height.Clear();
        int total = 0;
        double sum = 0;
        for (double at = -half; at <= half; at += 10)
        {
            foreach (int i in dense.Near(back.Of(s.Position + at * s.IntoDoor), 12))
            {
                Vector3 d = motion.Of(all[i]) - s.Position;
                double u = d.Dot(s.IntoDoor), v = d.Dot(s.Normal);
                if (Math.Abs(d.Dot(s.Tangent)) > Along || Math.Abs(v) > 8 || u < at - 5 || u >= at + 5 || Math.Abs(u) >= half) continue;
                int b = Math.Clamp((int)((u + half) / Bin), 0, bins - 1);
                count[b]++;
                height[b] += v;
                total++;
                sum += v;
            }
        }
        if (total < 60) return (total >= 20, null, 0);
        // Most points are skin; those well under the middle height are the seam's own walls and seal.
        double usual = (double)total / bins, level = sum / total;
        int width = (int)(gap / Bin);
        (double Score, int At) best = (double.PositiveInfinity, -1);
        int window = Math.Max(2, width - 1), shoulder = 8;
        for (int b = shoulder; b + window + shoulder <= bins; b++)
        {
            int inside = 0, left = 0, right = 0;
            for (int k = 0; k < window; k++) inside += height[b + k] > (level - 2) * count[b + k] ? count[b + k] : 0;
            for (int k = 1; k <= shoulder; k++)
            {
                left += count[b - k];
                right += count[b + window - 1 + k];
            }
            double least = 0.4 * usual * shoulder;
            if (left < least || right < least) continue;
            double score = inside / (usual * window) + 0.002 * Math.Abs((b + window / 2.0) * Bin - half);
            if (score < best.Score) best = (score, b);
        }
        if (best.At < 0 || best.Score > 0.35) return (true, null, 0);
        double va = 0;
        int n = 0;
        for (int k = 2; k <= shoulder; k++)
        {
            va += height[best.At - k] + height[best.At + window - 1 + k];
            n += count[best.At - k] + count[best.At + window - 1 + k];
        }
        return (true, (best.At + window / 2.0) * Bin - half, n > 0 ? va / n : 0);
    }

    private static void Row(double[,] m, double[] g, Vector3 arm, Vector3 direction, double value, double weight)
    {
        Vector3 turn = arm.Cross(direction);
        Span<double> j = [direction.X, direction.Y, direction.Z, turn.X, turn.Y, turn.Z];
        for (int i = 0; i < 6; i++)
        {
            g[i] += weight * j[i] * value;
            for (int k = 0; k < 6; k++) m[i, k] += weight * j[i] * j[k];
        }
    }

    private RigidMotion Step(double[,] m, double[] g, RigidMotion motion)
    {
        if (Cholesky.Factor(m) is not double[,] factor) return motion;
        double[] d = Cholesky.Solve(factor, g);
        Vector3 turn = new(-d[3], -d[4], -d[5]);
        if (turn.Length > 0.3) turn = 0.3 / turn.Length * turn;
        return RigidMotion.About(_centre, turn, new(-d[0], -d[1], -d[2])).After(motion);
    }

    private static Point3[] Voxels(Point3[] points, double size)
    {
        Dictionary<(int, int, int), (double X, double Y, double Z, int N)> cells = [];
        foreach (Point3 p in points)
        {
            (int, int, int) key = ((int)Math.Floor(p.X / size), (int)Math.Floor(p.Y / size), (int)Math.Floor(p.Z / size));
            cells.TryGetValue(key, out (double X, double Y, double Z, int N) c);
            cells[key] = (c.X + p.X, c.Y + p.Y, c.Z + p.Z, c.N + 1);
        }
        double usual = (double)points.Length / cells.Count;
        return [.. cells.OrderBy(c => c.Key).Where(c => c.Value.N > 0.05 * usual).Select(c => new Point3(c.Value.X / c.Value.N, c.Value.Y / c.Value.N, c.Value.Z / c.Value.N))];
    }

    /// <summary>Points in cells, for looking up what is near.</summary>
    private sealed class Grid
    {
        private readonly Point3[] _points;
        private readonly double _size;
        private readonly Dictionary<(int, int, int), List<int>> _cells = [];

        public Grid(Point3[] points, double size)
        {
            (_points, _size) = (points, size);
            for (int i = 0; i < points.Length; i++)
            {
                (int, int, int) key = Key(points[i]);
                if (!_cells.TryGetValue(key, out List<int>? cell)) _cells[key] = cell = [];
                cell.Add(i);
            }
        }

        public int Nearest(Point3 p, double reach)
        {
            int best = -1;
            double least = reach * reach;
            foreach (int i in Near(p, reach))
            {
                Vector3 d = _points[i] - p;
                double q = d.Dot(d);
                if (q < least) (least, best) = (q, i);
            }
            return best;
        }

        public IEnumerable<int> Near(Point3 p, double reach)
        {
            (int x0, int y0, int z0) = Key(new(p.X - reach, p.Y - reach, p.Z - reach));
            (int x1, int y1, int z1) = Key(new(p.X + reach, p.Y + reach, p.Z + reach));
            for (int x = x0; x <= x1; x++)
                for (int y = y0; y <= y1; y++)
                    for (int z = z0; z <= z1; z++)
                        if (_cells.TryGetValue((x, y, z), out List<int>? cell))
                            foreach (int i in cell) yield return i;
        }

        private (int, int, int) Key(Point3 p) => ((int)Math.Floor(p.X / _size), (int)Math.Floor(p.Y / _size), (int)Math.Floor(p.Z / _size));
    }
}
