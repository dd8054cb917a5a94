using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>The nominal skin of the surround of a door between the points that the plan gives of it.</summary>
/// <remarks>Around each point the skin is the surface z = (a x² + 2 b x y + c y²) / 2 + cubic terms over its own tangent plane that suits places and normals of its neighbours best. METHOD.md, eq. 10.</remarks>
internal sealed class NominalSkin
{
    private const int Terms = 7, Neighbours = 10;
    private const int MostPoints = 4000;
    private const double FarthestMm = 400;

    private NominalSkin(Patch[] patches, double spacing) => (Patches, SpacingMm) = (patches, spacing);

    /// <summary>One point of the nominal skin with the surface around it.</summary>
    internal sealed record Patch(Point3 Position, Vector3 Normal, Vector3 First, Vector3 Second, double[] Terms, double RadiusMm)
    {
        /// <summary>Height of a point above the surface, along its normal, and that normal; null away from the patch.</summary>
        public (double Height, Vector3 Normal)? Above(Point3 p)
        {
            Vector3 d = p - Position;
            double x = d.Dot(First), y = d.Dot(Second);
            if (x * x + y * y > RadiusMm * RadiusMm) return null;
            double[] t = Terms;
            double z = t[0] * x * x / 2 + t[1] * x * y + t[2] * y * y / 2 + t[3] * x * x * x + t[4] * x * x * y + t[5] * x * y * y + t[6] * y * y * y;
            double zx = t[0] * x + t[1] * y + 3 * t[3] * x * x + 2 * t[4] * x * y + t[5] * y * y, zy = t[1] * x + t[2] * y + t[4] * x * x + 2 * t[5] * x * y + 3 * t[6] * y * y;
            double length = Math.Sqrt(1 + zx * zx + zy * zy);
            return ((d.Dot(Normal) - z) / length, (Normal - zx * First - zy * Second) / length);
        }
    }

    public IReadOnlyList<Patch> Patches { get; }

    /// <summary>Usual distance of the plan's points, mm.</summary>
    public double SpacingMm { get; }

    /// <summary>Takes the plan's skin around a door; null where it gives too little of it.</summary>
    public static NominalSkin? Of(FitPlan plan, Door door)
    {
        SeamCurve seam = SeamCurve.Of(door);
        SkinPoint[] all = [.. plan.Skin.Where(s => (s.Door is null || s.Door == door.Code) && s.Position.DistanceTo(seam.Centre) < seam.SizeMm + FarthestMm)];
        if (all.Length < 30) return null;
        int stride = (all.Length + MostPoints - 1) / MostPoints;
        if (stride > 1) all = [.. all.Where((_, i) => i % stride == 0)];
        double spacing = Spacing(all), reach = 9 * spacing * spacing;
        int[][] near = new int[all.Length][];
        Parallel.For(0, all.Length, i => near[i] = Nearest(all, i, reach));
        Patch?[] patches = new Patch?[all.Length];
        Parallel.For(0, all.Length, i =>
        {
            double radius = 0.45 * spacing;
            // Only skin of the surround that surely lies outside the seam; the door is what is being measured.
            if (all[i].Door is null && seam.DistanceTo(all[i].Position) > radius + 10) patches[i] = Fit(all, i, near[i], spacing, radius);
        });
        Patch[] good = [.. patches.OfType<Patch>()];
        return good.Length < 20 ? null : new(good, spacing);
    }

    // The nearest points to one, the nearest first; of those as near as each other the first comes first.
    private static int[] Nearest(SkinPoint[] all, int i, double reach)
    {
        int[] near = new int[Neighbours];
        double[] squares = new double[Neighbours];
        int count = 0;
        for (int k = 0; k < all.Length; k++)
        {
            Vector3 d = all[k].Position - all[i].Position;
            double q = d.Dot(d);
            if (k == i || !(q < reach) || (count == Neighbours && q >= squares[^1])) continue;
            int at = count < Neighbours ? count++ : Neighbours - 1;
            for (; at > 0 && squares[at - 1] > q; at--) (squares[at], near[at]) = (squares[at - 1], near[at - 1]);
            (squares[at], near[at]) = (q, k);
        }
        return near[..count];
    }

    // The usual distance of a point to its second neighbour, asked of some.
    private static double Spacing(SkinPoint[] all)
    {
        int every = Math.Max(1, all.Length / 50), asked = 0;
        double[] second = new double[(all.Length + every - 1) / every];
        for (int i = 0; i < all.Length; i += every)
        {
            (double one, double two) = (double.PositiveInfinity, double.PositiveInfinity);
            for (int k = 0; k < all.Length; k++)
            {
                double d = all[k].Position.DistanceTo(all[i].Position);
                if (k == i || d >= two) continue;
                (one, two) = d < one ? (d, one) : (one, d);
            }
            second[asked++] = two;
        }
        return Selection.Nth(second, asked / 2);
    }

    private static Patch? Fit(SkinPoint[] all, int i, int[] near, double spacing, double radius)
    {
        (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(all[i].Normal);
        double[,] m = new double[Terms, Terms];
        double[] g = new double[Terms];
        int used = 0;
        foreach (int k in near)
        {
            Vector3 d = all[k].Position - all[i].Position;
            // In units of the spacing, so that terms of all orders are about alike.
            double x = d.Dot(e1) / spacing, y = d.Dot(e2) / spacing, z = d.Dot(all[i].Normal) / spacing, up = all[k].Normal.Dot(all[i].Normal);
            if (x * x + y * y > 9 || up < 0.5) continue;
            used++;
            Row([x * x / 2, x * y, y * y / 2, x * x * x, x * x * y, x * y * y, y * y * y], z);
            Row([x, y, 0, 3 * x * x, 2 * x * y, y * y, 0], -all[k].Normal.Dot(e1) / up);
            Row([0, x, y, 0, x * x, 2 * x * y, 3 * y * y], -all[k].Normal.Dot(e2) / up);
        }
        if (used < 4) return null;
        for (int k = 0; k < Terms; k++) m[k, k] += k < 3 ? 1e-9 : 1e-3;
        if (Cholesky.Factor(m) is not double[,] factor) return null;
        double[] t = Cholesky.Solve(factor, g);
        for (int k = 0; k < Terms; k++) t[k] /= k < 3 ? spacing : spacing * spacing;
        return new(all[i].Position, all[i].Normal, e1, e2, t, radius);

        void Row(ReadOnlySpan<double> j, double value)
        {
            for (int a = 0; a < Terms; a++)
            {
                g[a] += j[a] * value;
                for (int b = 0; b < Terms; b++) m[a, b] += j[a] * j[b];
            }
        }
    }
}
