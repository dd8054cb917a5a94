using System.Runtime.CompilerServices;
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

    /// <summary>Looks for the skin of one side.</summary>
    /// <param name="s">Along the seam.</param>
    /// <param name="x">Towards the gap.</param>
    /// <param name="y">Outward.</param>
    /// <param name="from">Where the skin starts to be looked at.</param>
    /// <param name="to">Where it is surely skin still.</param>
    /// <param name="reach">How far the end of the skin is looked for.</param>
    /// <param name="flat">True for a single section, without a run along the seam.</param>
    /// <param name="reason">Why there is none.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static SkinStart? Find(double[] s, double[] x, double[] y, double from, double to, double reach, bool flat, out string reason)
    {
        const int LeastPoints = 40;
        List<int> inside = [];
        for (int i = 0; i < x.Length; i++)
        {
            if (x[i] >= from && x[i] <= to) inside.Add(i);
        }
        reason = Invariant($"only {inside.Count} points of its skin");
        if (inside.Count < LeastPoints) return null;
        // A rough look needs no more.
        const int Enough = 1500;
        if (inside.Count > 2 * Enough) inside = [.. inside.Where((_, k) => k % (inside.Count / Enough) == 0)];

        // The densest half millimetre of height, after the mean slope is left out, is skin: tape and heads are patches.
        double[] a = new double[6];
        a[0] = Mode([.. inside.Select(i => y[i])], 0.5);
        double scale = 1;
        double[] r = new double[inside.Count];
        foreach (double step in new[] { 1, 0.5, 0.25, 0, 0, 0 })
        {
            for (int k = 0; k < r.Length; k++) r[k] = y[inside[k]] - Value(a, s[inside[k]], x[inside[k]] - to);
            if (step > 0) scale = step;
            else scale = Math.Max(1e-5, Math.Min(scale, RobustWeights.Scale([.. r.Where(v => Math.Abs(v) < 3.5 * scale)])));
            for (int pass = 0; pass < 4; pass++)
            {
                double[,] m = new double[6, 6];
                double[] g = new double[6];
                for (int k = 0; k < r.Length; k++)
                {
                    int i = inside[k];
                    double xi = x[i] - to, t = (y[i] - Value(a, s[i], xi)) / (3.5 * scale), w = 1 - t * t;
                    if (w <= 0) continue;
                    w *= w;
                    Span<double> j = [1, flat ? 0 : s[i], xi, flat ? 0 : s[i] * s[i], flat ? 0 : s[i] * xi, xi * xi];
                    for (int p = 0; p < 6; p++)
                    {
                        g[p] += w * j[p] * y[i];
                        for (int q = 0; q < 6; q++) m[p, q] += w * j[p] * j[q];
                    }
                }
                // Bends are small: 3 mrad a millimetre along the seam, a radius of some hundred millimetres across it. Freer, a surface chases clutter.
                (double along, double twist, double across) = (scale / 0.003, scale / 0.001, scale / 0.0015);
                for (int p = 0; p < 3; p++) m[p, p] += 1e-9;
                m[3, 3] += along * along;
                m[4, 4] += twist * twist;
                m[5, 5] += across * across;
                if (Cholesky.Factor(m) is not double[,] factor)
                {
                    reason = "its points lie on no surface";
                    return null;
                }
                a = Cholesky.Solve(factor, g);
            }
        }
        double band = Band(scale);
        int good = inside.Count(i => Math.Abs(y[i] - Value(a, s[i], x[i] - to)) < band);
        reason = Invariant($"only {good} of {inside.Count} points lie on one smooth skin");
        if (good < LeastPoints || good < 0.3 * inside.Count) return null;

        int bins = (int)Math.Ceiling((reach - from) / BinMm);
        int[] count = new int[bins];
        for (int i = 0; i < x.Length; i++)
        {
            if (x[i] < from || x[i] >= reach) continue;
            if (Math.Abs(y[i] - Value(a, s[i], x[i] - to)) < band) count[Math.Min(bins - 1, (int)((x[i] - from) / BinMm))]++;
        }
        int first = (int)((to - 6 - from) / BinMm), sure = (int)((to - from) / BinMm);
        first = Math.Max(0, first);
        double usual = count.Skip(first).Take(Math.Max(1, sure - first)).Average();
        int empty = 0, last = -1;
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
        reason = "its skin runs on without an edge";
        if (last < 0 || last >= bins - 2) return null;
        return new(a, to, scale, from + (last + 0.5) * BinMm, good);
    }

    private static double Band(double noise) => Math.Max(4 * noise, 0.05);

    private static double Value(double[] a, double s, double x) => a[0] + s * (a[1] + s * a[3] + x * a[4]) + x * (a[2] + x * a[5]);

    private static double Mode(double[] values, double width)
    {
        Array.Sort(values);
        int best = 0, at = 0;
        for (int i = 0, j = 0; i < values.Length; i++)
        {
            while (values[i] - values[j] > width) j++;
            if (i - j + 1 <= best) continue;
            (best, at) = (i - j + 1, (i + j) / 2);
        }
        return values[at];
    }
}
