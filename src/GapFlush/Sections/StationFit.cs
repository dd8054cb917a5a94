namespace GapFlush.Sections;

/// <summary>Both sides of the seam at one station, fitted to the points around it; or why not.</summary>
/// <remarks>METHOD.md, "Finding the sides".</remarks>
internal sealed class StationFit
{
    // Common practice, no source: skins are followed some 25 mm. Scanners see walls about as deep as the seam is wide; below five millimetres seals begin to touch them,
    // and a seal that fills a narrow gap bent the wall by 0.1 rad and the gap by 0.4 mm. Walls are taken to run on straight to eight.
    public const double SkinMm = 25, WallMm = 5, WallRunsToMm = 8;

    private static readonly double[] Draw = [0.3, 0.12];
    private static readonly double[] DrawAgain = [0.12];

    // Points near the edge for a first fit from several starts.
    private const int FirstSingles = 500;
    // Skin nearer its end than this is taken point by point.
    private const double SinglesMm = 3;

    private StationFit(SlabPoints points, SidePoints? surroundPoints, SidePoints? doorPoints, SideFit? surround, SideFit? door, string? reason) =>
        (Points, SurroundPoints, DoorPoints, Surround, Door, Reason) = (points, surroundPoints, doorPoints, surround, door, reason);

    public SlabPoints Points { get; }

    private SidePoints? SurroundPoints { get; }

    private SidePoints? DoorPoints { get; }

    public SideFit? Surround { get; }

    public SideFit? Door { get; }

    /// <summary>Why a side has no fit.</summary>
    public string? Reason { get; }

    /// <summary>Fits both sides.</summary>
    /// <param name="points">Points near the station.</param>
    /// <param name="nominalGapMm">Nominal gap; the edges are looked for within <paramref name="searchMm"/> of their nominal places, half a gap to either side.</param>
    /// <param name="searchMm">How far an edge may lie from nominal.</param>
    /// <param name="surround">What is known of the surround's shape.</param>
    /// <param name="door">What is known of the door's shape.</param>
    /// <param name="flat">True for a single section, without a run along the seam.</param>
    /// <param name="tryChamfer">True to weigh a chamfer against a radius.</param>
    public static StationFit Run(SlabPoints points, double nominalGapMm, double searchMm, ShapePrior surround, ShapePrior door, bool flat, bool tryChamfer)
    {
        double half = nominalGapMm / 2;
        double[] xs = points.Towards(false), xd = points.Towards(true);
        string why = "";
        // A radius takes the skin back from the edge by about as much as it measures; two and a half millimetres are surely enough for the first look.
        double to = -half - searchMm - 2.5, from = to - SkinMm;
        SkinStart? s = SkinStart.Find(points.S, xs, points.V, from, to, half + searchMm + 6, flat, out why);
        if (s is null) return new(points, null, null, null, null, $"surround: {why}");
        SkinStart? d = SkinStart.Find(points.S, xd, points.V, from, to, half + searchMm + 6, flat, out why);
        if (d is null) return new(points, null, null, null, null, $"door: {why}");
        if (-d.EndMm - s.EndMm < 0.2) return new(points, null, null, null, null, Invariant($"the skins leave no gap between them ({-d.EndMm - s.EndMm:0.0} mm)"));
        double middle = (s.EndMm - d.EndMm) / 2;
        SidePoints sp = Own(points, xs, middle, s, flat), dp = Own(points, xd, -middle, d, flat);
        SideFit? surroundFit = Side(ref sp, s, surround, flat, tryChamfer, out why);
        if (surroundFit is null) return new(points, null, null, null, null, $"surround: {why}");
        SideFit? doorFit = Side(ref dp, d, door, flat, tryChamfer, out why);
        return doorFit is null ? new(points, sp, dp, surroundFit, null, $"door: {why}") : new(points, sp, dp, surroundFit, doorFit, null);
    }

    /// <summary>Fits both sides again from what is there, with shapes known better.</summary>
    public StationFit Again(ShapePrior surround, ShapePrior door, bool flat)
    {
        if (Surround is null || Door is null) return this;
        SideFit? s = Refit(Surround, SurroundPoints!, surround), d = Refit(Door, DoorPoints!, door);
        return new(Points, SurroundPoints, DoorPoints, s ?? Surround, d ?? Door, null);

        SideFit? Refit(SideFit before, SidePoints points, ShapePrior prior)
        {
            SideParameters start = before.Parameters;
            if (prior.IsChamfer != start.IsChamfer)
            {
                double[] values = (double[])start.Values.Clone();
                (values[SideParameters.Break1], values[SideParameters.Break2]) = (prior.Break1.Value, prior.IsChamfer ? prior.Break2.Value : 0);
                start = new(prior.IsChamfer, values);
            }
            return SideFit.Run(points, start, Free(prior.IsChamfer, flat), Priors(prior), DrawAgain);
        }
    }

    private static SidePoints Own(SlabPoints points, double[] x, double limit, SkinStart skin, bool flat)
    {
        List<int> own = [];
        for (int i = 0; i < points.Count; i++)
        {
            double depth = skin.At(points.S[i], x[i]) - points.V[i];
            if (x[i] >= skin.EndMm - SkinMm && x[i] < limit && depth > -3 && depth < WallMm) own.Add(i);
        }
        return SidePoints.Reduced([.. own.Select(i => points.S[i])], [.. own.Select(i => x[i])], [.. own.Select(i => points.V[i])], skin, flat ? double.NegativeInfinity : skin.EndMm - SinglesMm);
    }

    private static SideFit? Side(ref SidePoints points, SkinStart skin, ShapePrior prior, bool flat, bool tryChamfer, out string reason)
    {
        SidePoints first = points.Thinned(FirstSingles);
        // The wall shows as a heap of points at one x, one to five millimetres down.
        double? wall = WallPlace(points.S, points.X, points.Y, skin);
        reason = "no outline of skin, edge and wall fits its points";
        SideFit? best = null;
        foreach (double radius in Starts(prior, wall is double w ? Math.Clamp(w - skin.EndMm, 0.1, 5) : null))
        {
            double corner = wall ?? skin.EndMm + 0.7 * radius;
            double[] p = new double[SideParameters.Count];
            p[SideParameters.X] = corner;
            p[SideParameters.Y] = skin.At(0, corner);
            (p[SideParameters.Y + 1], p[SideParameters.Y + 2]) = skin.AlongSeam;
            p[SideParameters.Turn] = Math.Atan(skin.SlopeAt(corner));
            p[SideParameters.Curvature] = skin.Curvature;
            p[SideParameters.Draft] = prior.DraftRad.Value;
            Consider(false, radius, 0, p);
            if (tryChamfer && prior == ShapePrior.Usual) Consider(true, radius, radius, p);
            if (prior.IsChamfer) Consider(true, prior.Break1.Value, prior.Break2.Value, p);
        }
        if (best is null) return null;
        ShapePrior last = best.Parameters.IsChamfer == prior.IsChamfer ? prior : prior with { IsChamfer = best.Parameters.IsChamfer };
        if (first != points && SideFit.Run(points, best.Parameters, Free(last.IsChamfer, flat), Priors(last), DrawAgain) is SideFit whole) best = whole;
        if (best.WallCount < FewWallPoints(points))
        {
            // A return that is hidden shows as a handful of strays, which must not decide its draft: without them it is what moulds have.
            SidePoints bare = points.WithoutWall(new SideModel(best.Parameters));
            double[] p = (double[])best.Parameters.Values.Clone();
            p[SideParameters.Draft] = last.DraftRad.Value;
            if (SideFit.Run(bare, new(last.IsChamfer, p), Free(last.IsChamfer, flat), Priors(last), DrawAgain) is SideFit known) (best, points) = (known, bare);
        }
        if (best.SkinCount < 30)
        {
            reason = Invariant($"only {best.SkinCount} points of its skin fit");
            return null;
        }
        reason = "";
        return best;

        void Consider(bool chamfer, double break1, double break2, double[] from)
        {
            double[] p = (double[])from.Clone();
            (p[SideParameters.Break1], p[SideParameters.Break2]) = (break1, break2);
            SideParameters start = new(chamfer, p);
            if (!start.IsShape) return;
            ShapePrior known = chamfer == prior.IsChamfer ? prior : prior with { IsChamfer = chamfer };
            if (SideFit.Run(first, start, Free(chamfer, flat), Priors(known), Draw) is not SideFit fit) return;
            // A chamfer has one parameter more; it must earn it.
            if (best is null || Merit(fit, first.Count) < Merit(best, first.Count)) best = fit;
        }
    }

    // Twice the negative log likelihood of a bounded-loss fit, up to a constant, with the usual price of a parameter (Schwarz).
    private static double Merit(SideFit fit, int count) => count * fit.Cost * 3.5 * 3.5 / 3 + 2 * count * Math.Log(Math.Max(fit.NoiseMm, 1e-4)) + (fit.Parameters.IsChamfer ? Math.Log(count) : 0);

    /// <summary>So few points on a wall are no wall that was seen: less than a twentieth of those near the edge.</summary>
    private static double FewWallPoints(SidePoints points) => Math.Max(20, points.Stands.Count(n => n == 1) / 20.0);

    private static double[] Starts(ShapePrior prior, double? seen) =>
        prior.Break1.Sd < 0.5 && !prior.IsChamfer ? [prior.Break1.Value] : seen is double r ? [r, 0.4 * r + 0.1] : [0.4, 1.2, 2.5];

    public static bool[] Free(bool chamfer, bool flat)
    {
        bool[] free = [.. Enumerable.Repeat(true, SideParameters.Count)];
        free[SideParameters.Break2] = chamfer;
        if (flat) foreach (int k in new[] { 1, 2, 4, 5, 7 }) free[k] = false;
        return free;
    }

    private static (double Value, double Sd)[] Priors(ShapePrior shape)
    {
        (double Value, double Sd)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        // A seam departs from its nominal course slowly: over 15 mm by well under a tenth of these.
        prior[SideParameters.X + 1] = (0, 0.1);
        prior[SideParameters.X + 2] = (0, 0.005);
        prior[SideParameters.Y + 1] = (0, 0.1);
        prior[SideParameters.Y + 2] = (0, 0.005);
        prior[SideParameters.Turn + 1] = (0, 0.005);
        // Skins bend with radii of some hundred millimetres. Freer, a skin bowed over a strip of tape and took its tenth of a millimetre into the flush.
        prior[SideParameters.Curvature] = (0, 0.003);
        prior[SideParameters.Draft] = shape.DraftRad;
        prior[SideParameters.Break1] = shape.Break1;
        prior[SideParameters.Break2] = shape.Break2;
        return prior;
    }

    private static double? WallPlace(double[] s, double[] x, double[] y, SkinStart skin)
    {
        const double Bin = 0.1;
        const int Bins = 70;
        int[] count = new int[Bins];
        double from = skin.EndMm - 1;
        for (int i = 0; i < x.Length; i++)
        {
            double depth = skin.At(s[i], x[i]) - y[i];
            int b = (int)Math.Floor((x[i] - from) / Bin);
            if (depth is > 1 and < 5 && b is >= 0 and < Bins) count[b]++;
        }
        int best = -1, most = 0;
        for (int b = 2; b < Bins - 2; b++)
        {
            int sum = count[b - 2] + count[b - 1] + count[b] + count[b + 1] + count[b + 2];
            if (sum > most) (most, best) = (sum, b);
        }
        return most >= Math.Max(8, 0.01 * x.Length) ? from + (best + 0.5) * Bin : null;
    }
}
