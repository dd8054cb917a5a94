namespace GapFlush.Sections;

/// <summary>Looks for one side at a station: which edge, from which start.</summary>
/// <remarks>METHOD.md, "Finding the sides". A first fit to some hundred points is tried from several radii, with and without a wall; what explains the points best is then fitted to all of them.</remarks>
internal static class SideSearch
{
    private static readonly double[] Draw = [0.3, 0.12];

    // Points near the edge for a first fit from several starts.
    private const int FirstSingles = 350;
    // Skin nearer its end than this is taken point by point in the first fit.
    private const double SinglesMm = 3;
    // A wall is read as far below its start as this.
    private const double WallBelowStartMm = 3.5;

    public static SideFit? Find(SidePoints points, SkinStart skin, ReadOnlySpan<double> depth, ShapePrior prior, bool flat, bool tryChamfer, double halfRunMm, out double chamferGain, out string reason)
    {
        // The wall shows as a heap of points at one x, one to five millimetres down. Below a large radius it starts deeper, and the heap may be the round itself or a seal: then all radii are tried.
        double? wall = WallPlace(points.X, depth, skin, 1, StationFit.WallMm);
        bool isSure = wall - skin.EndMm < 1.5;
        SidePoints first = points.FirstLook(skin, depth, flat ? double.NegativeInfinity : skin.EndMm - SinglesMm, flat ? points.Count : FirstSingles, StationFit.WallMm);
        reason = "no outline of skin, edge and wall fits its points";
        SideFit? best = null;
        (double radiusMerit, double chamferMerit) = (double.PositiveInfinity, double.PositiveInfinity);
        // The skin seems to end where the edge has fallen by the band: a radius r takes it back from the corner by r - sqrt(2 r band).
        double root = Math.Sqrt(2 * skin.BandMm), reach = (wall ?? 0) - skin.EndMm;
        double? seen = wall is null ? null : Math.Clamp(Math.Pow((root + Math.Sqrt(Math.Max(0, root * root + 4 * reach))) / 2, 2), 0.1, 8);
        double[] draw = [Math.Max(0.15, 2.5 * skin.NoiseMm)];
        foreach ((double radius, bool atWall) in Starts(prior, seen, isSure))
        {
            double corner = atWall ? wall!.Value : skin.EndMm + radius - root * Math.Sqrt(radius);
            double[] p = new double[SideParameters.Count];
            p[SideParameters.X] = corner;
            p[SideParameters.Y] = skin.At(0, corner);
            (p[SideParameters.Y + 1], p[SideParameters.Y + 2]) = skin.AlongSeam;
            p[SideParameters.Turn] = Math.Atan(skin.SlopeAt(corner));
            p[SideParameters.Curvature] = skin.Curvature;
            p[SideParameters.Draft] = prior.DraftRad.Value;
            if (!prior.IsChamfer) Consider(false, radius, 0, p);
            if (tryChamfer || prior.IsChamfer) Consider(true, radius, radius, p);
        }
        chamferGain = double.IsFinite(radiusMerit) && double.IsFinite(chamferMerit) ? radiusMerit - chamferMerit : 0;
        if (best is null) return null;
        if (!flat) best = OverAll(points, best, prior, halfRunMm, wide: false);
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
            bool[] free = Free(chamfer, flat);
            // What a few hundred points do not tell.
            free[SideParameters.X + 2] = free[SideParameters.Y + 2] = free[SideParameters.Curvature + 1] = false;
            if (SideFit.Run(first, start, free, Priors(known), flat ? Draw : draw, noiseStages: flat ? 3 : 2) is not SideFit fit) return;
            // A chamfer has one parameter more; it must earn it.
            double merit = Merit(fit, first.Count);
            if (merit < Math.Min(radiusMerit, chamferMerit)) best = fit;
            if (chamfer) chamferMerit = Math.Min(chamferMerit, merit);
            else radiusMerit = Math.Min(radiusMerit, merit);
        }
    }

    // The fit proper from a start near it; the wall as deep as it is seen.
    public static SideFit OverAll(SidePoints points, SideFit start, ShapePrior prior, double halfRunMm, bool wide)
    {
        bool chamfer = start.Parameters.IsChamfer;
        bool[] free = Free(chamfer, false);
        ShapePrior known = chamfer == prior.IsChamfer ? prior : prior with { IsChamfer = chamfer };
        SideFit best = start;
        double wallMm = Math.Clamp(new SideModel(best.Parameters).WallStart + WallBelowStartMm, StationFit.WallMm, StationFit.DeepestMm);
        if (SideFit.OverCells(points, best, free, Priors(known), known.Noise, halfRunMm, wallMm, wide ? 4 : 2, wide) is SideFit whole) best = whole;
        // What lies below a break in the wall is none of it.
        double top = new SideModel(best.Parameters).WallStart, seenMm = best.Cells?.WallSeenMm ?? 0;
        if (seenMm > 0 && top + seenMm < wallMm - 0.5 && SideFit.OverCells(points, best, free, Priors(known), known.Noise, halfRunMm, top + seenMm, 2) is SideFit clear) best = clear;
        if (seenMm == 0 || best.WallCount < Math.Max(20, (best.EdgeCount + best.SkinCount * 3 / StationFit.SkinMm) / 20))
        {
            // A return that is hidden shows as a handful of strays, which must not decide its draft.
            best = OverSkinAndEdge(points, best, known, halfRunMm) ?? best;
        }
        return best;
    }

    /// <summary>A fit without the wall, whose draft is what is known beforehand.</summary>
    public static SideFit? OverSkinAndEdge(SidePoints points, SideFit start, ShapePrior known, double halfRunMm)
    {
        bool chamfer = start.Parameters.IsChamfer;
        double[] p = (double[])start.Parameters.Values.Clone();
        p[SideParameters.Draft] = known.DraftRad.Value;
        return SideFit.OverCells(points, start.From(new(chamfer, p)), Free(chamfer, false), Priors(known), known.Noise, halfRunMm, 0, 2);
    }

    // Twice the negative log likelihood of a bounded-loss fit, up to a constant, with the usual price of a parameter (Schwarz).
    private static double Merit(SideFit fit, int count) => count * fit.Cost * 3.5 * 3.5 / 3 + 2 * count * Math.Log(Math.Max(fit.NoiseMm, 1e-4)) + (fit.Parameters.IsChamfer ? Math.Log(count) : 0);

    private static IEnumerable<(double Radius, bool AtWall)> Starts(ShapePrior prior, double? seen, bool isSure)
    {
        bool isKnown = prior.Break1.Sd < 0.5 && !prior.IsChamfer;
        if (seen is double r) yield return (isKnown ? prior.Break1.Value : r, true);
        if (seen is not null && isSure) yield break;
        if (isKnown) yield return (prior.Break1.Value, false);
        else foreach (double radius in new[] { 0.4, 0.9, 1.8, 3.5, 6 }) yield return (radius, false);
    }

    public static bool[] Free(bool chamfer, bool flat)
    {
        bool[] free = [.. Enumerable.Repeat(true, SideParameters.Count)];
        free[SideParameters.Break2] = chamfer;
        if (flat) foreach (int k in new[] { 1, 2, 4, 5, 7, 9 }) free[k] = false;
        return free;
    }

    public static (double Value, double Sd)[] Priors(ShapePrior shape)
    {
        (double Value, double Sd)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        // A seam departs from its nominal course slowly: over 15 mm by well under a tenth of these.
        prior[SideParameters.X + 1] = (0, 0.1);
        prior[SideParameters.X + 2] = shape.Bend;
        prior[SideParameters.Y + 1] = (0, 0.1);
        prior[SideParameters.Y + 2] = shape.Bow;
        prior[SideParameters.Turn + 1] = (0, 0.005);
        prior[SideParameters.Curvature] = shape.Curvature;
        // On a 120 mm corner of a 900 mm barrel it changes by 1e-5 a millimetre.
        prior[SideParameters.Curvature + 1] = (0, 3e-5);
        prior[SideParameters.Draft] = shape.DraftRad;
        prior[SideParameters.Break1] = shape.Break1;
        prior[SideParameters.Break2] = shape.Break2;
        return prior;
    }

    private static double? WallPlace(ReadOnlySpan<double> x, ReadOnlySpan<double> depth, SkinStart skin, double above, double below)
    {
        const double Bin = 0.1;
        const int Bins = 90;
        int[] count = new int[Bins];
        double from = skin.EndMm - 1;
        for (int i = 0; i < x.Length; i++)
        {
            if (!(depth[i] > above && depth[i] < below)) continue;
            int b = (int)Math.Floor((x[i] - from) / Bin);
            if (b is >= 0 and < Bins) count[b]++;
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
