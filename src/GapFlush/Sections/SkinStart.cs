using System.Buffers;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>A first, rough look at one side: where its skin lies and where it ends.</summary>
/// <remarks>Surface y = a0 + a1 s + a2 x + a3 s² + a4 s x + a5 x², with x from the place where the edge is looked for; bisquare loss drawn in step by step.</remarks>
internal sealed class SkinStart
{
    private const double BinMm = 0.25;

    private readonly double[] _a;
    private readonly double _origin;

    private SkinStart(double[] a, double origin, double noise, double end, int count) => (_a, _origin, NoiseMm, EndMm, Count) = (a, origin, noise, end, count);

    public double NoiseMm { get; }

    /// <summary>The largest x at which the skin is still there as densely as before.</summary>
    public double EndMm { get; }

    /// <summary>How far from the skin a point may lie and still be taken for skin, mm.</summary>
    public double BandMm => Band(NoiseMm);

    public int Count { get; }

    public double At(double s, double x) => Value(_a, s, x - _origin);

    public double SlopeAt(double x) => _a[2] + 2 * _a[5] * (x - _origin);

    /// <summary>Curvature, positive where the skin is convex outward.</summary>
    public double Curvature => -2 * _a[5];

    public (double Slope, double Bend) AlongSeam => (_a[1], _a[3]);

    /// <summary>How deep points lie below the skin, mm.</summary>
    public void Depths(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<double> depth)
    {
        Surface surface = new(_a);
        Vector256<double> origin = Vector256.Create(_origin);
        for (int i = 0; i < y.Length; i += Lanes.Width)
            Lanes.Store(surface.At(Lanes.Load(s, i), Lanes.Load(x, i) - origin) - Lanes.Load(y, i), depth, i);
    }

    /// <summary>Looks for the skin of one side.</summary>
    /// <param name="s">Along the seam.</param>
    /// <param name="x">Towards the gap.</param>
    /// <param name="y">Outward.</param>
    /// <param name="from">Where the skin starts to be looked at.</param>
    /// <param name="to">Where it is surely skin still.</param>
    /// <param name="reach">How far the end of the skin is looked for.</param>
    /// <param name="flat">True for a single section, without a run along the seam.</param>
    /// <param name="reason">Why there is none.</param>
    public static SkinStart? Find(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, double from, double to, double reach, bool flat, out string reason)
    {
        const int LeastPoints = 40;
        int inside = 0;
        foreach (double at in x) inside += at >= from && at <= to ? 1 : 0;
        reason = Invariant($"only {inside} points of its skin");
        if (inside < LeastPoints) return null;
        // A rough look needs no more.
        const int Enough = 1500;
        int stride = inside > 2 * Enough ? inside / Enough : 1, n = (inside + stride - 1) / stride;
        double[] rented = ArrayPool<double>.Shared.Rent(4 * n);
        try
        {
            Span<double> ps = rented.AsSpan(0, n), px = rented.AsSpan(n, n), py = rented.AsSpan(2 * n, n), spare = rented.AsSpan(3 * n, n);
            for (int i = 0, k = 0, j = 0; i < x.Length; i++)
            {
                if (!(x[i] >= from && x[i] <= to) || k++ % stride != 0) continue;
                (ps[j], px[j], py[j]) = (flat ? 0 : s[i], x[i] - to, y[i]);
                j++;
            }
            double[] a = new double[Terms];
            if (Surfaces(ps, px, py, spare, a) is not double scale)
            {
                reason = "its points lie on no surface";
                return null;
            }
            int good = 0;
            double band = Band(scale);
            for (int k = 0; k < n; k++) good += Math.Abs(py[k] - Value(a, ps[k], px[k])) < band ? 1 : 0;
            reason = Invariant($"only {good} of {n} points lie on one smooth skin");
            if (good < LeastPoints || good < 0.3 * n) return null;
            reason = "its skin runs on without an edge";
            return End(s, x, y, a, band, from, to, reach) is double end ? new(a, to, scale, end, good) : null;
        }
        finally
        {
            ArrayPool<double>.Shared.Return(rented);
        }
    }

    // Draws the loss in round the surface that most points share. The scale it ends with, or null.
    private static double? Surfaces(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<double> spare, double[] a)
    {
        // The densest half millimetre of height, after the mean slope is left out, is skin: tape and heads are patches.
        y.CopyTo(spare);
        a[0] = Mode(spare, 0.5);
        double scale = 1;
        Span<double> sums = stackalloc double[Moments], m = stackalloc double[Terms * Terms];
        foreach (double step in (ReadOnlySpan<double>)[1, 0.5, 0.25, 0, 0, 0])
        {
            if (step > 0) scale = step;
            else
            {
                int near = 0;
                for (int k = 0; k < y.Length; k++)
                {
                    double r = Math.Abs(y[k] - Value(a, s[k], x[k]));
                    if (r < 3.5 * scale) spare[near++] = r;
                }
                if (near > 0) scale = Math.Max(1e-5, Math.Min(scale, Selection.Median(spare[..near]) / RobustWeights.NormalMedian));
            }
            for (int pass = 0; pass < 4; pass++)
            {
                Gather(s, x, y, a, 1 / (3.5 * scale), sums);
                for (int p = 0; p < Terms; p++)
                {
                    a[p] = sums[Monomials + p];
                    for (int q = 0; q < Terms; q++) m[p * Terms + q] = sums[Monomial[p * Terms + q]];
                }
                // Bends are small: 3 mrad a millimetre along the seam, a radius of some hundred millimetres across it. Freer, a surface chases clutter.
                (double along, double twist, double across) = (scale / 0.003, scale / 0.001, scale / 0.0015);
                for (int p = 0; p < 3; p++) m[p * Terms + p] += 1e-9;
                m[3 * Terms + 3] += along * along;
                m[4 * Terms + 4] += twist * twist;
                m[5 * Terms + 5] += across * across;
                if (!Cholesky.Factor(m, Terms)) return null;
                Cholesky.Solve(m, a);
            }
        }
        return scale;
    }

    // Terms of the surface: 1, s, x, s², s x, x². Their products are the monomials up to the fourth order, in this order: 1, s, x, s², s x, x², s³, s² x, s x², x³, s⁴, s³ x, s² x², s x³, x⁴.
    private const int Terms = 6, Monomials = 15, Moments = Monomials + Terms;

    private static ReadOnlySpan<byte> Monomial =>
    [
        0, 1, 2, 3, 4, 5,
        1, 3, 4, 6, 7, 8,
        2, 4, 5, 7, 8, 9,
        3, 6, 7, 10, 11, 12,
        4, 7, 8, 11, 12, 13,
        5, 8, 9, 12, 13, 14,
    ];

    // Weighted sums of the monomials, then of y times the terms; weights are those of the bisquare.
    private static void Gather(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, double[] a, double perCut, Span<double> sums)
    {
        Surface surface = new(a);
        Vector256<double> inverse = Vector256.Create(perCut), one = Vector256.Create(1.0);
        Vector256<double> m0 = default, m1 = default, m2 = default, m3 = default, m4 = default, m5 = default, m6 = default, m7 = default, m8 = default, m9 = default, m10 = default, m11 = default, m12 = default, m13 = default, m14 = default;
        Vector256<double> g0 = default, g1 = default, g2 = default, g3 = default, g4 = default, g5 = default;
        for (int i = 0; i < y.Length; i += Lanes.Width)
        {
            // What fills the last four lies far off and has no weight.
            Vector256<double> si = Lanes.Load(s, i), xi = Lanes.Load(x, i), yi = Lanes.Load(y, i, 1e9);
            Vector256<double> t = (yi - surface.At(si, xi)) * inverse, w = Vector256.Max(Vector256<double>.Zero, one - t * t);
            w *= w;
            Vector256<double> ws = w * si, wx = w * xi, wss = ws * si, wsx = ws * xi, wxx = wx * xi, wsss = wss * si, wssx = wss * xi, wsxx = wxx * si, wxxx = wxx * xi;
            m0 += w;
            m1 += ws;
            m2 += wx;
            m3 += wss;
            m4 += wsx;
            m5 += wxx;
            m6 += wsss;
            m7 += wssx;
            m8 += wsxx;
            m9 += wxxx;
            m10 += wsss * si;
            m11 += wsss * xi;
            m12 += wssx * xi;
            m13 += wxxx * si;
            m14 += wxxx * xi;
            g0 += w * yi;
            g1 += ws * yi;
            g2 += wx * yi;
            g3 += wss * yi;
            g4 += wsx * yi;
            g5 += wxx * yi;
        }
        ReadOnlySpan<Vector256<double>> all = [m0, m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, g0, g1, g2, g3, g4, g5];
        for (int k = 0; k < all.Length; k++) sums[k] = Vector256.Sum(all[k]);
    }

    // Where the skin is no longer as dense as it was; null where it runs on.
    private static double? End(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, double[] a, double band, double from, double to, double reach)
    {
        int bins = (int)Math.Ceiling((reach - from) / BinMm);
        Span<int> count = new int[bins];
        for (int i = 0; i < x.Length; i++)
        {
            if (x[i] < from || x[i] >= reach) continue;
            if (Math.Abs(y[i] - Value(a, s[i], x[i] - to)) < band) count[Math.Min(bins - 1, (int)((x[i] - from) / BinMm))]++;
        }
        int first = Math.Max(0, (int)((to - 6 - from) / BinMm)), sure = (int)((to - from) / BinMm), empty = 0, last = -1, sum = 0;
        Span<int> before = count[first..Math.Min(bins, Math.Max(first + 1, sure))];
        foreach (int c in before) sum += c;
        double usual = (double)sum / before.Length;
        // Over three bins the density must keep a third of what it was.
        for (int b = first; b < bins; b++)
        {
            double here = (count[Math.Max(0, b - 1)] + count[b] + count[Math.Min(bins - 1, b + 1)]) / 3.0;
            if (here >= usual / 3)
            {
                (last, empty) = (b, 0);
                continue;
            }
            empty++;
            if (empty * BinMm >= 0.5 && b > sure) break;
        }
        return last < 0 || last >= bins - 2 ? null : from + (last + 0.5) * BinMm;
    }

    private static double Band(double noise) => Math.Max(4 * noise, 0.05);

    private static double Value(double[] a, double s, double x) => a[0] + s * (a[1] + s * a[3] + x * a[4]) + x * (a[2] + x * a[5]);

    private static double Mode(Span<double> values, double width)
    {
        values.Sort();
        int best = 0, at = 0;
        for (int i = 0, j = 0; i < values.Length; i++)
        {
            while (values[i] - values[j] > width) j++;
            if (i - j + 1 <= best) continue;
            (best, at) = (i - j + 1, (i + j) / 2);
        }
        return values[at];
    }

    // The same four points at a time.
    private readonly struct Surface(double[] a)
    {
        private readonly Vector256<double> _a0 = Vector256.Create(a[0]), _a1 = Vector256.Create(a[1]), _a2 = Vector256.Create(a[2]), _a3 = Vector256.Create(a[3]), _a4 = Vector256.Create(a[4]), _a5 = Vector256.Create(a[5]);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<double> At(Vector256<double> s, Vector256<double> x) => _a0 + s * (_a1 + s * _a3 + x * _a4) + x * (_a2 + x * _a5);
    }
}
