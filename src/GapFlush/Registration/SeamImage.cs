using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>Where a scan shows seams: stripes about as wide as the gap, empty of skin, between two shoulders of skin.</summary>
/// <remarks>
/// <para>Method: the sample is laid flat on its own principal plane and counted into cells of a quarter of the gap. Over every 24 mm the skin is taken as a plane, so that points of walls and
/// seals are told from points of skin; a cell is seam where the skin around it is missing and is there on two opposite sides. The outward side is the one that the points under the seam are not on.
/// METHOD.md, eq. 6 to 8.</para>
/// </remarks>
internal sealed class SeamImage
{
    private const double BlockMm = 12, SkinBandMm = 1.5, DeepestMm = 12, FieldMm = 4, MarginMm = 160;

    /// <summary>How far apart places of seam lie, about.</summary>
    internal const double JoinMm = 4;
    private const int MostCells = 4 << 20;
    // As many points as would lie in the middle if it were skin like its shoulders. Common practice, no source: skin whose points lie a gap apart has a quarter
    // of that to all of it, a third of a gap apart two to nine.
    private const double TellingPoints = 1;

    // Count and summed height of a cell in one number, so that a point costs one look at memory: 40 bits hold the heights of the largest sample in one cell.
    private const double PerMm = 256, HighestMm = 4000;
    private const int HeightBits = 40;
    private const long OnePoint = 1L << HeightBits;

    private readonly Vector3 _x, _y, _z;
    private readonly double _cell, _a0, _b0;
    private readonly int _nx, _ny, _mx, _my;
    private readonly (double H, double A, double B, bool Is)[] _planes;
    private readonly int[] _nearest;
    private readonly int _fx, _fy;

    private SeamImage(Point3 origin, Vector3 x, Vector3 y, Vector3 z, double cell, (double A0, double A1, double B0, double B1) box, ScanSample sample, double gap)
    {
        (Origin, _x, _y, _z, _cell) = (origin, x, y, z, cell);
        (_a0, _b0) = (box.A0, box.B0);
        (_nx, _ny) = ((int)((box.A1 - box.A0) / cell) + 1, (int)((box.B1 - box.B0) / cell) + 1);
        (_mx, _my) = ((int)(_nx * cell / BlockMm) + 1, (int)(_ny * cell / BlockMm) + 1);
        float[] flat = new float[3 * sample.Count];
        long[] cells = Fill(sample, flat);
        _planes = new (double, double, double, bool)[_mx * _my];
        Parallel.For(0, _my, k => Planes(k, cells));
        (int[] skin, (int Over, int Under)[] sides) = Skin(flat);
        Seams = Find(skin, gap, sides, out int over, out int under);
        OutwardSign = under > 5 * over && under > 100 ? 1 : over > 5 * under && over > 100 ? -1 : 0;
        (_fx, _fy) = ((int)((_nx * cell + 2 * MarginMm) / FieldMm) + 1, (int)((_ny * cell + 2 * MarginMm) / FieldMm) + 1);
        _nearest = Field();
    }

    /// <summary>Where the image counts from, in the scan.</summary>
    public Point3 Origin { get; }

    /// <summary>Places of seam, in the image's own axes: two in the plane and the height of the skin there.</summary>
    public Vector3[] Seams { get; }

    /// <summary>+1 where the outward side of the skin is the image's third axis, -1 where it is the opposite, 0 where the scan does not tell.</summary>
    public int OutwardSign { get; }

    /// <summary>Into the image's axes.</summary>
    public Vector3 Into(Point3 p) => new((p - Origin).Dot(_x), (p - Origin).Dot(_y), (p - Origin).Dot(_z));

    /// <summary>The motion from the scan into the image's axes.</summary>
    public RigidMotion Motion => new(_x, _y, _z, -new Vector3(_x.Dot(Origin.FromOrigin), _y.Dot(Origin.FromOrigin), _z.Dot(Origin.FromOrigin)));

    /// <summary>Makes the image of a sample; null where it covers too much or too little to see seams of that width.</summary>
    public static SeamImage? Of(ScanSample sample, double gap)
    {
        if (sample.Count < 1000) return null;
        int[] chosen = sample.Some(20_000);
        Point3[] some = new Point3[chosen.Length];
        for (int i = 0; i < some.Length; i++) some[i] = sample[chosen[i]];
        Point3[] means = Means(some);
        if (means.Length < 20) return null;
        PrincipalAxes axes = PrincipalAxes.Of(means);
        Vector3 z = PrincipalAxes.Named(axes.Directions[0]), x = Steady(means, z), y = z.Cross(x);
        // Counted from a place that a point more or less does not move, for the same reason.
        Point3 origin = new(Coarse(axes.Centroid.X), Coarse(axes.Centroid.Y), Coarse(axes.Centroid.Z));
        // Strays far out must not stretch the image.
        (double a0, double a1) = Range(some, p => (p - origin).Dot(x));
        (double b0, double b1) = Range(some, p => (p - origin).Dot(y));
        double cell = Math.Max(gap / 4, Math.Sqrt((a1 - a0) * (b1 - b0) / MostCells * 1.02));
        if (!(cell <= gap / 2) || a1 - a0 < 4 * BlockMm || b1 - b0 < 4 * BlockMm) return null;
        return new(origin, x, y, z, cell, (a0, a1, b0, b1), sample, gap);

        static double Coarse(double mm) => 100 * Math.Round(mm / 100);

        static (double, double) Range(Point3[] points, Func<Point3, double> of)
        {
            double[] v = new double[points.Length];
            (double least, double most) = (double.PositiveInfinity, double.NegativeInfinity);
            for (int i = 0; i < v.Length; i++)
            {
                v[i] = of(points[i]);
                (least, most) = (Math.Min(least, v[i]), Math.Max(most, v[i]));
            }
            (double low, double high) = (Selection.Nth(v, v.Length / 200), Selection.Nth(v, v.Length - v.Length / 200 - 1));
            double more = 0.02 * (high - low) + 20;
            // On whole blocks, so that a point more or less at the rim does not shift all cells.
            return (BlockMm * Math.Floor(Math.Max(least, low - more) / BlockMm), BlockMm * Math.Ceiling(Math.Min(most, high + more) / BlockMm));
        }
    }

    // The mean of each 25 mm cell, so that dense parts of a scan do not tilt its plane; cells that hold next to nothing left out.
    private static Point3[] Means(Point3[] points)
    {
        PlaceIndex cells = new();
        Vector3[] sums = new Vector3[points.Length];
        int[] counts = new int[points.Length];
        foreach (Point3 p in points)
        {
            int cell = cells.Of((int)Math.Floor(p.X / 25), (int)Math.Floor(p.Y / 25), (int)Math.Floor(p.Z / 25));
            sums[cell] += p.FromOrigin;
            counts[cell]++;
        }
        double usual = (double)points.Length / cells.Count;
        Point3[] means = new Point3[cells.Count];
        int n = 0;
        foreach (int cell in cells.InOrder()) if (counts[cell] > 0.02 * usual) means[n++] = new Point3(0, 0, 0) + sums[cell] / counts[cell];
        return means[..n];
    }

    // An axis in the plane along which the scan needs little room, one of those that lie by whole steps from an axis of the scan itself, so that a point more or less does not turn it. The first step is
    // half a one, so that rows of a scan do not run along rows of cells.
    private static Vector3 Steady(Point3[] points, Vector3 z)
    {
        const int Steps = 45;
        const double AlikeAs = 1.01;
        Vector3 along = Math.Abs(z.X) < 0.6 ? new(1, 0, 0) : Math.Abs(z.Y) < 0.6 ? new(0, 1, 0) : new(0, 0, 1), p = (along - along.Dot(z) * z).ToUnit(), q = z.Cross(p);
        double[] flatA = new double[points.Length], flatB = new double[points.Length], areas = new double[Steps];
        for (int i = 0; i < points.Length; i++) (flatA[i], flatB[i]) = ((points[i] - points[0]).Dot(p), (points[i] - points[0]).Dot(q));
        double least = double.PositiveInfinity;
        for (int k = 0; k < Steps; k++)
        {
            (double sin, double cos) = Math.SinCos(Angle(k));
            (double a0, double a1, double b0, double b1) = (double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);
            for (int i = 0; i < points.Length; i++)
            {
                (double x, double y) = (cos * flatA[i] + sin * flatB[i], cos * flatB[i] - sin * flatA[i]);
                (a0, a1, b0, b1) = (Math.Min(a0, x), Math.Max(a1, x), Math.Min(b0, y), Math.Max(b1, y));
            }
            areas[k] = (a1 - a0) * (b1 - b0);
            least = Math.Min(least, areas[k]);
        }
        int first = 0;
        while (areas[first] > AlikeAs * least) first++;
        (double s, double c) = Math.SinCos(Angle(first));
        return c * p + s * q;

        static double Angle(int step) => (step + 0.5) * Math.PI / 2 / Steps;
    }

    /// <summary>The nearest place of seam, or -1 where none is within reach.</summary>
    public int Nearest(double a, double b)
    {
        int i = (int)((a - _a0 + MarginMm) / FieldMm), k = (int)((b - _b0 + MarginMm) / FieldMm);
        return a - _a0 + MarginMm >= 0 && b - _b0 + MarginMm >= 0 && i < _fx && k < _fy ? _nearest[k * _fx + i] : -1;
    }

    /// <summary>True where the scan has skin around a place.</summary>
    public bool HasSkin(double a, double b)
    {
        int i = (int)Math.Floor((a - _a0) / BlockMm), k = (int)Math.Floor((b - _b0) / BlockMm), seen = 0;
        for (int q = Math.Max(0, k - 1); q <= Math.Min(_my - 1, k + 1); q++)
            for (int p = Math.Max(0, i - 1); p <= Math.Min(_mx - 1, i + 1); p++) seen += _planes[q * _mx + p].Is ? 1 : 0;
        return seen >= 5;
    }

    // In whole numbers, so that it does not matter how the sample is shared among threads.
    private long[] Fill(ScanSample sample, float[] flat)
    {
        long[][] cells = [new long[_nx * _ny], new long[_nx * _ny]];
        Parallel.For(0, 2, half => FillHalf(sample, flat, cells[half], half == 0 ? 0 : sample.Count / 2, half == 0 ? sample.Count / 2 : sample.Count));
        for (int i = 0; i < cells[0].Length; i++) cells[0][i] += cells[1][i];
        return cells[0];
    }

    private void FillHalf(ScanSample sample, float[] flat, long[] cells, int from, int to)
    {
        // Fresh memory that is read before it is written costs the system two faults a page and a call to the other processor: a quarter of all the image took.
        Array.Clear(cells);
        double per = 1 / _cell;
        Vector3 start = sample.Origin - Origin;
        double a0 = start.Dot(_x) - _a0, b0 = start.Dot(_y) - _b0, h0 = start.Dot(_z);
        (double xX, double xY, double xZ, double yX, double yY, double yZ, double zX, double zY, double zZ) = (_x.X, _x.Y, _x.Z, _y.X, _y.Y, _y.Z, _z.X, _z.Y, _z.Z);
        (int nx, int ny) = (_nx, _ny);
        ReadOnlySpan<float> values = sample.Values[(3 * from)..(3 * to)];
        Span<float> into = flat.AsSpan(3 * from, values.Length);
        for (int i = 0; i + 2 < values.Length && i + 2 < into.Length; i += 3)
        {
            double p = values[i], q = values[i + 1], r = values[i + 2];
            double a = a0 + p * xX + q * xY + r * xZ, b = b0 + p * yX + q * yY + r * yZ, h = h0 + p * zX + q * zY + r * zZ;
            into[i] = (float)a;
            into[i + 1] = (float)b;
            into[i + 2] = (float)h;
            (a, b) = (a * per, b * per);
            if (!(a >= 0 && b >= 0 && a < nx && b < ny && Math.Abs(h) < HighestMm)) continue;
            cells[(int)b * nx + (int)a] += OnePoint + (long)(h * PerMm);
        }
    }

    // Skin around a block as a plane through the means of cells, those that lie off it counting less and less.
    private void Planes(int k, long[] cells)
    {
        int half = (int)(BlockMm / _cell), every = Math.Max(1, (int)Math.Round(2 / _cell));
        for (int i = 0; i < _mx; i++)
        {
            int ca = (int)((i + 0.5) * BlockMm / _cell), cb = (int)((k + 0.5) * BlockMm / _cell);
            double h = 0, sa = 0, sb = 0;
            bool good = false;
            for (int pass = 0; pass < 5; pass++)
            {
                double w0 = 0, wa = 0, wb = 0, waa = 0, wab = 0, wbb = 0, wh = 0, wha = 0, whb = 0;
                for (int q = Math.Max(0, cb - half); q <= Math.Min(_ny - 1, cb + half); q += every)
                {
                    for (int p = Math.Max(0, ca - half); p <= Math.Min(_nx - 1, ca + half); p += every)
                    {
                        long held = cells[q * _nx + p];
                        if (held == 0) continue;
                        long sum = held << (64 - HeightBits) >> (64 - HeightBits);
                        double v = sum / (PerMm * ((held - sum) >> HeightBits)), a = (p - ca) * _cell, b = (q - cb) * _cell, w = 1;
                        if (pass > 0)
                        {
                            double t = (v - h - sa * a - sb * b) / (pass < 3 ? 2 : 1);
                            w = 1 / (1 + t * t);
                            w *= w;
                        }
                        (w0, wa, wb, waa, wab, wbb) = (w0 + w, wa + w * a, wb + w * b, waa + w * a * a, wab + w * a * b, wbb + w * b * b);
                        (wh, wha, whb) = (wh + w * v, wha + w * v * a, whb + w * v * b);
                    }
                }
                if (w0 < 6) break;
                // Slopes that few cells hold stay small.
                (waa, wbb) = (waa + 20, wbb + 20);
                double m00 = waa * wbb - wab * wab, m01 = wab * wb - wa * wbb, m02 = wa * wab - waa * wb, det = w0 * m00 + wa * m01 + wb * m02;
                double m11 = w0 * wbb - wb * wb, m12 = wa * wb - w0 * wab, m22 = w0 * waa - wa * wa;
                if (!(Math.Abs(det) > 1e-9)) break;
                (h, sa, sb) = ((m00 * wh + m01 * wha + m02 * whb) / det, (m01 * wh + m11 * wha + m12 * whb) / det, (m02 * wh + m12 * wha + m22 * whb) / det);
                good = true;
            }
            _planes[k * _mx + i] = (h, sa, sb, good);
        }
    }

    // Height of the skin at a place, from its block.
    private bool SkinAt(double a, double b, out double h)
    {
        int i = Math.Clamp((int)(a / BlockMm), 0, _mx - 1), k = Math.Clamp((int)(b / BlockMm), 0, _my - 1);
        (double H, double A, double B, bool Is) plane = _planes[k * _mx + i];
        h = plane.H + plane.A * (a - (i + 0.5) * BlockMm) + plane.B * (b - (k + 0.5) * BlockMm);
        return plane.Is;
    }

    private (int[] Sums, (int, int)[] Sides) Skin(float[] flat)
    {
        int width = _nx + 1, points = flat.Length / 3;
        int[][] skins = [new int[width * (_ny + 1)], new int[width * (_ny + 1)]];
        (int Over, int Under)[][] beside = [new (int, int)[_mx * _my], new (int, int)[_mx * _my]];
        Parallel.For(0, 2, half => SkinHalf(flat.AsSpan()[(half == 0 ? 0 : 3 * (points / 2))..(half == 0 ? 3 * (points / 2) : 3 * points)], skins[half], beside[half]));
        int[] sums = skins[0];
        for (int i = 0; i < sums.Length; i++) sums[i] += skins[1][i];
        (int Over, int Under)[] sides = beside[0];
        for (int i = 0; i < sides.Length; i++) (sides[i].Over, sides[i].Under) = (sides[i].Over + beside[1][i].Over, sides[i].Under + beside[1][i].Under);
        for (int k = 1; k <= _ny; k++)
        {
            int row = 0;
            for (int i = 1; i <= _nx; i++)
            {
                row += sums[k * width + i];
                sums[k * width + i] = row + sums[(k - 1) * width + i];
            }
        }
        return (sums, sides);
    }

    private void SkinHalf(ReadOnlySpan<float> flat, int[] skin, (int Over, int Under)[] beside)
    {
        // As in FillHalf: written before it is read.
        Array.Clear(skin);
        double per = 1 / _cell;
        int width = _nx + 1;
        (int nx, int ny, int mx, int my) = (_nx, _ny, _mx, _my);
        (double H, double A, double B, bool Is)[] planes = _planes;
        for (int i = 0; i + 2 < flat.Length; i += 3)
        {
            double a = flat[i], b = flat[i + 1], fa = a * per, fb = b * per;
            if (!(fa >= 0 && fb >= 0 && fa < nx && fb < ny)) continue;
            int p = Math.Min((int)(a / BlockMm), mx - 1), q = Math.Min((int)(b / BlockMm), my - 1);
            ref (double H, double A, double B, bool Is) plane = ref planes[q * mx + p];
            if (!plane.Is) continue;
            double off = flat[i + 2] - (plane.H + plane.A * (a - (p + 0.5) * BlockMm) + plane.B * (b - (q + 0.5) * BlockMm));
            if (Math.Abs(off) < SkinBandMm) skin[((int)fb + 1) * width + (int)fa + 1]++;
            else if (Math.Abs(off) < DeepestMm)
            {
                ref (int Over, int Under) side = ref beside[q * mx + p];
                if (off > 0) side.Over++;
                else side.Under++;
            }
        }
    }

    private Vector3[] Find(int[] sums, double gap, (int Over, int Under)[] sides, out int over, out int under)
    {
        int width = _nx + 1, inner = Math.Max(1, (int)Math.Round((gap - 1) / _cell / 2)), shoulder = Math.Max(1, (int)Math.Round(1.5 / _cell));
        int far = (int)Math.Ceiling((gap / 2 + 3) / _cell), diagonal = (int)Math.Ceiling(far * Math.Sqrt(0.5)), reach = far + shoulder + 1;
        double perInner = 1.0 / ((2 * inner) * (2 * inner)), perShoulder = 1.0 / ((2 * shoulder + 1) * (2 * shoulder + 1));
        double telling = TellingPoints * perInner;
        // A seam has less than a third of the skin of its shoulders; cells with more than that of the densest skin need no closer look.
        double usual = 0.4 * Densest(sums);
        List<int>?[] rows = new List<int>?[_ny];
        Parallel.For(reach, Math.Max(reach, _ny - reach), k =>
        {
            ReadOnlySpan<int> da = [far, 0, diagonal, diagonal], db = [0, far, diagonal, -diagonal];
            for (int i = reach; i < _nx - reach; i++)
            {
                double middle = Box(i - inner, k - inner, i + inner, k + inner) * perInner;
                if (middle > usual) continue;
                double best = 0;
                for (int q = 0; q < 4; q++)
                {
                    double one = Box(i + da[q] - shoulder, k + db[q] - shoulder, i + da[q] + shoulder + 1, k + db[q] + shoulder + 1) * perShoulder;
                    if (one <= 3 * middle) continue;
                    double two = Box(i - da[q] - shoulder, k - db[q] - shoulder, i - da[q] + shoulder + 1, k - db[q] + shoulder + 1) * perShoulder;
                    // Of two shoulders about alike.
                    if (Math.Min(one, two) > 0.35 * Math.Max(one, two)) best = Math.Max(best, Math.Min(one, two));
                }
                // Emptiness says nothing where skin is so thin that no point need lie there.
                if (best <= 3 * middle || best < 3 * perShoulder || best < telling) continue;
                if (SkinAt((i + 0.5) * _cell, (k + 0.5) * _cell, out _)) (rows[k] ??= []).Add(i);
            }
        });
        int all = 0;
        foreach (List<int>? row in rows) all += row?.Count ?? 0;
        PlaceIndex joined = new();
        Vector3[] middles = new Vector3[all];
        int[] counts = new int[all];
        bool[] blocks = new bool[_mx * _my];
        for (int k = 0; k < rows.Length; k++)
        {
            if (rows[k] is not List<int> row) continue;
            foreach (int i in row)
            {
                double a = (i + 0.5) * _cell, b = (k + 0.5) * _cell;
                SkinAt(a, b, out double h);
                int place = joined.Of((int)(a / JoinMm), (int)(b / JoinMm));
                middles[place] += new Vector3(a + _a0, b + _b0, h);
                counts[place]++;
                blocks[Math.Min(_my - 1, (int)(b / BlockMm)) * _mx + Math.Min(_mx - 1, (int)(a / BlockMm))] = true;
            }
        }
        (over, under) = (0, 0);
        for (int block = 0; block < blocks.Length; block++) if (blocks[block]) (over, under) = (over + sides[block].Over, under + sides[block].Under);
        Vector3[] seams = new Vector3[joined.Count];
        int n = 0;
        foreach (int place in joined.InOrder()) if (counts[place] >= 2) seams[n++] = middles[place] / counts[place];
        return seams[..n];

        int Box(int i0, int k0, int i1, int k1) => sums[k1 * width + i1] - sums[k0 * width + i1] - sums[k1 * width + i0] + sums[k0 * width + i0];
    }

    // Points of skin in a cell, where skin is dense: of twenty blocks one is denser.
    private double Densest(int[] sums)
    {
        int width = _nx + 1, block = Math.Max(1, (int)(BlockMm / _cell));
        List<int> counts = [];
        for (int k = block; k <= _ny; k += block)
            for (int i = block; i <= _nx; i += block) counts.Add(sums[k * width + i] - sums[(k - block) * width + i] - sums[k * width + i - block] + sums[(k - block) * width + i - block]);
        counts.Sort();
        return counts.Count == 0 ? 0 : counts[(int)(0.95 * (counts.Count - 1))] / (double)(block * block);
    }

    // The nearest place of seam for every 4 mm, handed from neighbour to neighbour forwards and backwards.
    private int[] Field()
    {
        int[] nearest = new int[_fx * _fy];
        Array.Fill(nearest, -1);
        // In field cells, as plain numbers.
        double[] sa = new double[Seams.Length], sb = new double[Seams.Length];
        for (int s = 0; s < sa.Length; s++) (sa[s], sb[s]) = ((Seams[s].X - _a0 + MarginMm) / FieldMm - 0.5, (Seams[s].Y - _b0 + MarginMm) / FieldMm - 0.5);
        int width = _fx, height = _fy;
        for (int s = 0; s < sa.Length; s++) Take((int)(sa[s] + 0.5), (int)(sb[s] + 0.5), s);
        // Once through is good to a cell nearly everywhere.
        {
            for (int k = 0; k < _fy; k++)
                for (int i = 0; i < _fx; i++) Hand(i, k, -1);
            for (int k = _fy - 1; k >= 0; k--)
                for (int i = _fx - 1; i >= 0; i--) Hand(i, k, 1);
        }
        return nearest;

        void Hand(int i, int k, int by)
        {
            From(i + by, k);
            From(i, k + by);
            From(i + by, k + by);
            From(i - by, k + by);

            void From(int p, int q)
            {
                if ((uint)p < (uint)width && (uint)q < (uint)height && nearest[q * width + p] is >= 0 and int s) Take(i, k, s);
            }
        }

        void Take(int i, int k, int s)
        {
            ref int held = ref nearest[k * width + i];
            if (held < 0 || (held != s && Square(i, k, s) < Square(i, k, held))) held = s;
        }

        double Square(int i, int k, int s) => (i - sa[s]) * (i - sa[s]) + (k - sb[s]) * (k - sb[s]);
    }
}
