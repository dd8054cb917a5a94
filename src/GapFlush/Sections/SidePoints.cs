namespace GapFlush.Sections;

/// <summary>Points of one side in its own axes, some of them standing for a patch of skin.</summary>
/// <remarks>METHOD.md, eq. 31: skin far from the edge is plenty, so patches of it are taken as one point each, at the mean of those that lie near the patch's median.
/// A patch of n points is believed as one of standard deviation sqrt(1/n + 0.04) of theirs: neighbours share errors, and skins are not that smooth.</remarks>
internal sealed class SidePoints
{
    private const double AlongMm = 3, AcrossMm = 2, Shared = 0.04;
    private const int LeastInPatch = 3;

    public SidePoints(double[] s, double[] x, double[] y, int[]? stands = null)
    {
        (S, X, Y, Stands) = (s, x, y, stands ?? [.. Enumerable.Repeat(1, s.Length)]);
        Multiplier = [.. Stands.Select(n => n == 1 ? 1 : 1 / Math.Sqrt(1.0 / n + Shared))];
    }

    public double[] S { get; }

    public double[] X { get; }

    public double[] Y { get; }

    /// <summary>How many points each stands for.</summary>
    public int[] Stands { get; }

    /// <summary>One over its standard deviation, in units of a single point's.</summary>
    public double[] Multiplier { get; }

    public int Count => S.Length;

    /// <summary>Every so many of the single points, and all patches: enough for a first fit.</summary>
    public SidePoints Thinned(int singles)
    {
        int all = Stands.Count(n => n == 1), stride = Math.Max(1, all / singles), k = 0;
        if (stride == 1) return this;
        int[] kept = [.. Enumerable.Range(0, Count).Where(i => Stands[i] > 1 || k++ % stride == 0)];
        return new([.. kept.Select(i => S[i])], [.. kept.Select(i => X[i])], [.. kept.Select(i => Y[i])], [.. kept.Select(i => Stands[i])]);
    }

    /// <summary>Without the points that a model takes for wall: where few are, they are strays.</summary>
    public SidePoints WithoutWall(SideModel model)
    {
        double[] unused = new double[SideParameters.Count];
        int[] kept = [.. Enumerable.Range(0, Count).Where(i => model.At(S[i], X[i], Y[i], unused).Piece != PieceKind.Wall)];
        return new([.. kept.Select(i => S[i])], [.. kept.Select(i => X[i])], [.. kept.Select(i => Y[i])], [.. kept.Select(i => Stands[i])]);
    }

    /// <summary>Takes the skin up to a place as patches, and the rest as it is.</summary>
    public static SidePoints Reduced(double[] s, double[] x, double[] y, SkinStart skin, double upTo)
    {
        double band = Math.Max(6 * skin.NoiseMm, 0.3);
        Dictionary<(int, int), List<int>> patches = [];
        List<double> os = [], ox = [], oy = [];
        List<int> stands = [];
        for (int i = 0; i < s.Length; i++)
        {
            if (x[i] >= upTo) Add(s[i], x[i], y[i], 1);
            else if (Math.Abs(y[i] - skin.At(s[i], x[i])) < band)
            {
                (int, int) key = ((int)Math.Floor(s[i] / AlongMm), (int)Math.Floor((upTo - x[i]) / AcrossMm));
                if (!patches.TryGetValue(key, out List<int>? patch)) patches[key] = patch = [];
                patch.Add(i);
            }
        }
        foreach ((int, int) key in patches.Keys.Order())
        {
            List<int> patch = patches[key];
            if (patch.Count < LeastInPatch) continue;
            double[] off = [.. patch.Select(i => y[i] - skin.At(s[i], x[i])).Order()];
            double median = off[off.Length / 2], near = 2.5 * Math.Max(skin.NoiseMm, 1e-6);
            double ms = 0, mx = 0, my = 0;
            int n = 0;
            foreach (int i in patch)
            {
                if (Math.Abs(y[i] - skin.At(s[i], x[i]) - median) > near) continue;
                (ms, mx, my, n) = (ms + s[i], mx + x[i], my + y[i], n + 1);
            }
            if (n >= LeastInPatch) Add(ms / n, mx / n, my / n, n);
        }
        return new([.. os], [.. ox], [.. oy], [.. stands]);

        void Add(double a, double b, double c, int n)
        {
            os.Add(a);
            ox.Add(b);
            oy.Add(c);
            stands.Add(n);
        }
    }
}
