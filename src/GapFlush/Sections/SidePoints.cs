namespace GapFlush.Sections;

/// <summary>Points of one side in its own axes, each with the weight it is believed with.</summary>
internal sealed class SidePoints
{
    private const double AlongMm = 3, AcrossMm = 2, Shared = 0.04;
    private const int LeastInPatch = 3;
    private const float PerMm = 8;

    private double[]? _multiplier;

    public SidePoints(double[] s, double[] x, double[] y, double[]? multiplier = null) => (S, X, Y, _multiplier) = (s, x, y, multiplier);

    public double[] S { get; }

    public double[] X { get; }

    public double[] Y { get; }

    /// <summary>One over its standard deviation, in units common to all.</summary>
    public double[] Multiplier => _multiplier ??= [.. Enumerable.Repeat(1.0, Count)];

    public int Count => S.Length;

    /// <summary>The same without those from one place to another across the seam.</summary>
    public SidePoints Without(double fromX, double toX)
    {
        int[] kept = [.. Enumerable.Range(0, Count).Where(i => !(X[i] > fromX && X[i] < toX))];
        return new([.. kept.Select(i => S[i])], [.. kept.Select(i => X[i])], [.. kept.Select(i => Y[i])]);
    }

    /// <summary>Few enough for a first fit: some near the edge, and the skin behind it as patches of three by two millimetres.</summary>
    /// <param name="skin">The skin as first seen.</param>
    /// <param name="upTo">Skin up to here goes into patches.</param>
    /// <param name="singles">About how many single points to keep.</param>
    /// <param name="deepMm">Points deeper below the skin are left out.</param>
    /// <param name="depth">How deep each point lies below the skin.</param>
    public SidePoints FirstLook(SkinStart skin, ReadOnlySpan<double> depth, double upTo, int singles, double deepMm)
    {
        double band = Math.Max(6 * skin.NoiseMm, 0.3), near = 3 * Math.Max(skin.NoiseMm, 1e-6), lowest = double.PositiveInfinity, longest = double.PositiveInfinity;
        int all = 0;
        for (int i = 0; i < S.Length; i++)
        {
            if (X[i] >= upTo) all += depth[i] < deepMm ? 1 : 0;
            else (lowest, longest) = (Math.Min(lowest, S[i]), Math.Min(longest, X[i]));
        }
        // By a draw of each point's own, so that a point more or less changes no other.
        uint below = uint.MaxValue / (uint)Math.Max(1, all / singles);
        int across = double.IsFinite(longest) ? (int)((upTo - longest) / AcrossMm) + 1 : 0;
        const int Runs = 16;
        (double S, double X, double Off, int Count)[] patches = new (double, double, double, int)[Runs * across];
        List<double> os = new(singles + patches.Length), ox = new(singles + patches.Length), oy = new(singles + patches.Length), om = new(singles + patches.Length);
        for (int i = 0; i < S.Length; i++)
        {
            double off = -depth[i];
            if (X[i] >= upTo)
            {
                if (off > -deepMm && PlaceDraw.Of((float)S[i], (float)X[i], (float)Y[i], PerMm) <= below) Add(S[i], X[i], Y[i], 1);
            }
            else if (Math.Abs(off) < band && Math.Abs(off) < near)
            {
                ref (double S, double X, double Off, int Count) patch = ref patches[Math.Min(Runs - 1, (int)((S[i] - lowest) / AlongMm)) * across + (int)((upTo - X[i]) / AcrossMm)];
                patch = (patch.S + S[i], patch.X + X[i], patch.Off + off, patch.Count + 1);
            }
        }
        foreach ((double s, double x, double off, int n) in patches)
        {
            if (n >= LeastInPatch) Add(s / n, x / n, skin.At(s / n, x / n) + off / n, 1 / Math.Sqrt(1.0 / n + Shared));
        }
        return new([.. os], [.. ox], [.. oy], [.. om]);

        void Add(double a, double b, double c, double m)
        {
            os.Add(a);
            ox.Add(b);
            oy.Add(c);
            om.Add(m);
        }
    }
}
