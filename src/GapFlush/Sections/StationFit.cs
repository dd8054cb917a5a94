using System.Buffers;

namespace GapFlush.Sections;

/// <summary>Both sides of the seam at one station, fitted to the points around it; or why not.</summary>
/// <remarks>METHOD.md, "Finding the sides".</remarks>
internal sealed class StationFit
{
    // Common practice, no source: skins are followed some 25 mm. Scanners see walls about as deep as the seam is wide; below five millimetres seals begin to touch them,
    // and a seal that fills a narrow gap bent the wall by 0.1 rad and the gap by 0.4 mm. Walls are taken to run on straight to eight.
    // How deep a wall can be read at all: a large radius starts it deep.
    public const double SkinMm = 25, WallMm = 5, WallRunsToMm = 8, DeepestMm = 9.5;

    private StationFit(SlabPoints points, SidePoints? surroundPoints, SidePoints? doorPoints, SideFit? surround, SideFit? door, string? reason) =>
        (Points, SurroundPoints, DoorPoints, Surround, Door, Reason) = (points, surroundPoints, doorPoints, surround, door, reason);

    public SlabPoints Points { get; }

    private SidePoints? SurroundPoints { get; }

    private SidePoints? DoorPoints { get; }

    public SideFit? Surround { get; }

    public SideFit? Door { get; }

    /// <summary>What each side's curvature was told by the other's: the standard deviation either was given it with, and the spread of their difference along the door; null where neither was told.</summary>
    public (double SurroundSd, double DoorSd, double Spread)? Told { get; init; }

    /// <summary>Why a side has no fit.</summary>
    public string? Reason { get; }

    /// <summary>Points that both outlines explain over the whole run.</summary>
    public double Explained { get; private init; }

    /// <summary>Variance of a value that depends on the parameters of the surround and of the door, by these derivatives.</summary>
    /// <remarks>Where the sides told each other their curvature, their errors hang together: that knowledge is taken out of either side and put in once, for both. METHOD.md, eq. 30.</remarks>
    public double Variance(double[] bySurround, double[] byDoor)
    {
        double s = Numerics.Cholesky.Quadratic(Surround!.Covariance, bySurround), d = Numerics.Cholesky.Quadratic(Door!.Covariance, byDoor);
        if (Told is not (double surroundSd, double doorSd, double spread)) return s + d;
        (double sOwn, double sWith, double sCurvature) = Alone(Surround, bySurround, surroundSd);
        (double dOwn, double dWith, double dCurvature) = Alone(Door, byDoor, doorSd);
        double with = dWith - sWith;
        return Math.Max(0.01 * (s + d), sOwn + dOwn - with * with / (sCurvature + dCurvature + spread * spread));

        // Without what it was told: variance of the value, its covariance with the curvature, and the curvature's variance.
        static (double, double, double) Alone(SideFit fit, double[] by, double sd)
        {
            const int K = SideParameters.Curvature;
            double own = Numerics.Cholesky.Quadratic(fit.Covariance, by), with = 0, curvature = fit.Covariance[K, K];
            for (int i = 0; i < by.Length; i++) with += fit.Covariance[K, i] * by[i];
            double left = Math.Max(1 - curvature / (sd * sd), 0.02);
            return (own + with * with / (sd * sd * left), with / left, curvature / left);
        }
    }

    /// <summary>By how much a chamfer explains the points of the surround and of the door better than a radius (twice the log likelihood, less the price of its length more); 0 where it was not asked.</summary>
    public (double Surround, double Door) ChamferGain { get; private init; }

    /// <summary>Fits both sides.</summary>
    /// <param name="points">Points near the station.</param>
    /// <param name="nominalGapMm">Nominal gap; the edges are looked for within <paramref name="searchMm"/> of their nominal places, half a gap to either side.</param>
    /// <param name="searchMm">How far an edge may lie from nominal.</param>
    /// <param name="surround">What is known of the surround's shape.</param>
    /// <param name="door">What is known of the door's shape.</param>
    /// <param name="flat">True for a single section, without a run along the seam.</param>
    /// <param name="tryChamfer">True to weigh a chamfer against a radius.</param>
    /// <param name="halfRunMm">Half the run that bears on the fit.</param>
    public static StationFit Run(SlabPoints points, double nominalGapMm, double searchMm, ShapePrior surround, ShapePrior door, bool flat, bool tryChamfer, double halfRunMm = 15)
    {
        int n = points.Count;
        double[] rented = ArrayPool<double>.Shared.Rent(6 * n);
        try
        {
            Span<double> xd = rented.AsSpan(0, n), surroundDepth = rented.AsSpan(n, n), doorDepth = rented.AsSpan(2 * n, n), spare = rented.AsSpan(3 * n, 3 * n);
            double half = nominalGapMm / 2;
            for (int i = 0; i < n; i++) xd[i] = -points.U[i];
            // A radius takes the skin back from the edge by about as much as it measures; two and a half millimetres are surely enough for the first look.
            double to = -half - searchMm - 2.5, from = to - SkinMm;
            SkinStart? s = SkinStart.Find(points.S, points.U, points.V, from, to, half + searchMm + 6, flat, out string why);
            if (s is null) return new(points, null, null, null, null, $"surround: {why}");
            SkinStart? d = SkinStart.Find(points.S, xd, points.V, from, to, half + searchMm + 6, flat, out why);
            if (d is null) return new(points, null, null, null, null, $"door: {why}");
            double open = -d.EndMm - s.EndMm;
            if (open < 0.2)
                return new(points, null, null, null, null, open < -0.2
                    ? Invariant($"the skins lap by {-open:0.0} mm: the edge underneath is covered, and no gap is seen")
                    : Invariant($"the skins leave no gap between them ({open:0.0} mm)"));
            s.Depths(points.S, points.U, points.V, surroundDepth);
            d.Depths(points.S, xd, points.V, doorDepth);
            double middle = Middle(points.U, surroundDepth, doorDepth, s, d);
            SidePoints sp = Own(points, points.U, surroundDepth, middle, s, spare), dp = Own(points, xd, doorDepth, -middle, d, spare);
            SideFit? surroundFit = SideSearch.Find(sp, s, surroundDepth[..sp.Count], surround, flat, tryChamfer, halfRunMm, out double surroundGain, out why);
            if (surroundFit is null) return new(points, null, null, null, null, $"surround: {why}");
            SideFit? doorFit = SideSearch.Find(dp, d, doorDepth[..dp.Count], door, flat, tryChamfer, halfRunMm, out double doorGain, out why);
            return new(points, sp, dp, surroundFit, doorFit, doorFit is null ? $"door: {why}" : null) { ChamferGain = (surroundGain, doorGain) };
        }
        finally
        {
            ArrayPool<double>.Shared.Return(rented);
        }
    }

    /// <summary>Fits both sides again from what is there, with shapes known better.</summary>
    public StationFit Again(ShapePrior surround, ShapePrior door)
    {
        if (Surround is null || Door is null) return this;
        double explained = 0;
        return new(Points, SurroundPoints, DoorPoints, Refit(Surround.Whole, SurroundPoints!, surround), Refit(Door.Whole, DoorPoints!, door), null) { Explained = explained };

        SideFit Refit(SideFit before, SidePoints points, ShapePrior prior)
        {
            SideFit start = before;
            bool[] free = SideSearch.Free(prior.IsChamfer, false);
            (double, double)[] priors = SideSearch.Priors(prior);
            if (prior.IsChamfer != before.Parameters.IsChamfer)
            {
                double[] values = (double[])before.Parameters.Values.Clone();
                (values[SideParameters.Break1], values[SideParameters.Break2]) = (prior.Break1.Value, prior.IsChamfer ? prior.Break2.Value : 0);
                start = before.From(new(prior.IsChamfer, values));
            }
            (double curvature, double curvatureSd) = prior.Curvature;
            SideFit? fit = SideFit.OverCells(points, start, free, priors, prior.Noise, before.HalfRunMm, before.WallMm, 2);
            if (Math.Abs(start.Parameters.Values[SideParameters.Curvature] - curvature) > 3 * curvatureSd)
            {
                // Bowed over something, perhaps: from there it would not find its way back. The outline that explains more points is the skin.
                double[] values = (double[])start.Parameters.Values.Clone();
                values[SideParameters.Curvature] = curvature;
                SideFit? straight = SideFit.OverCells(points, before.From(new(prior.IsChamfer, values)), free, priors, prior.Noise, before.HalfRunMm, before.WallMm, 4, wide: true);
                if (straight is not null && straight.Explained > (fit?.Explained ?? 0)) fit = straight;
            }
            explained += fit?.Explained ?? 0;
            return fit is null ? before : NearFault(points, fit, prior);
        }
    }

    // A local fault of the edge is not to be smoothed away: where the run holds one, a shorter run is asked.
    private static SideFit NearFault(SidePoints points, SideFit whole, ShapePrior prior)
    {
        SideFit fit = whole;
        (double, double)[] priors = SideSearch.Priors(prior with { Bend = ShapePrior.Usual.Bend, Bow = ShapePrior.Usual.Bow });
        foreach (double run in ShorterRuns)
        {
            if (run >= fit.HalfRunMm || !LocalFault.IsOfThePart(fit)) break;
            if (SideFit.OverCells(points, fit, SideSearch.Free(prior.IsChamfer, false), priors, prior.Noise, run, whole.WallMm, 3) is not SideFit near) break;
            // A few points must not lead the edge astray: what is found must explain them better than what it departs from.
            if (Math.Abs(near.Parameters.Values[SideParameters.X] - whole.Parameters.Values[SideParameters.X]) > LargestFaultMm || near.Explained < SideFit.ExplainedBy(points, fit, prior.Noise, run)) break;
            fit = near.InPlaceOf(fit);
        }
        return fit;
    }

    /// <summary>One side fitted anew from another start; the same where nothing is found there.</summary>
    /// <param name="door">Which side.</param>
    /// <param name="start">Where it is looked for.</param>
    /// <param name="prior">What is known of its shape.</param>
    /// <param name="halfRunMm">Half the run that bears on the fit.</param>
    public StationFit From(bool door, SideParameters start, ShapePrior prior, double halfRunMm)
    {
        if (Surround is null || Door is null) return this;
        SideFit fit = SideSearch.OverAll(door ? DoorPoints! : SurroundPoints!, (door ? Door : Surround).From(start), prior, halfRunMm, wide: true);
        return fit.Cells is null ? this : new(Points, SurroundPoints, DoorPoints, door ? Surround : fit, door ? fit : Door, null) { Explained = Explained };
    }

    /// <summary>One side fitted anew from what its points say without those of a stretch of skin; the same where nothing is found so.</summary>
    /// <param name="door">Which side.</param>
    /// <param name="prior">What is known of its shape.</param>
    /// <param name="halfRunMm">Half the run that bears on the fit.</param>
    /// <param name="leftOut">The stretch, from where to where behind the skin's end, mm.</param>
    public StationFit FromWithout(bool door, ShapePrior prior, double halfRunMm, (double From, double To) leftOut)
    {
        if (Surround is null || Door is null) return this;
        (SideFit own, SidePoints points) = door ? (Door.Whole, DoorPoints!) : (Surround.Whole, SurroundPoints!);
        double[] p = (double[])own.Parameters.Values.Clone();
        p[SideParameters.Curvature] = prior.Curvature.Value;
        double end = p[SideParameters.X] + new SideModel(own.Parameters).SkinEnd;
        SidePoints some = points.Without(end - leftOut.To, end - leftOut.From);
        bool[] free = SideSearch.Free(own.Parameters.IsChamfer, false);
        if (SideFit.OverCells(some, own.From(new(own.Parameters.IsChamfer, p)), free, SideSearch.Priors(prior), prior.Noise, halfRunMm, own.WallMm, 3, wide: true) is not SideFit start
            || SideFit.OverCells(points, start, free, SideSearch.Priors(prior), prior.Noise, halfRunMm, own.WallMm, 2) is not SideFit fit) return this;
        return new(Points, SurroundPoints, DoorPoints, door ? Surround : fit, door ? fit : Door, null) { Explained = Explained };
    }

    /// <summary>One side fitted anew without its wall, which then leans as is known beforehand; the same where nothing is found so.</summary>
    public StationFit WithoutWall(bool door, ShapePrior prior)
    {
        SideFit own = (door ? Door : Surround)!;
        SideFit? fit = SideSearch.OverSkinAndEdge(door ? DoorPoints! : SurroundPoints!, own, prior, own.HalfRunMm);
        return fit is null ? this : new(Points, SurroundPoints, DoorPoints, door ? Surround : fit, door ? fit : Door, null) { Explained = Explained };
    }

    /// <summary>The same with what its sides were told of one another's curvature.</summary>
    public StationFit With((double SurroundSd, double DoorSd, double Spread) told) => new(Points, SurroundPoints, DoorPoints, Surround, Door, Reason) { Explained = Explained, Told = told };

    /// <summary>The same without its sides: they are not to be believed.</summary>
    public StationFit Refused(string reason) => new(Points, null, null, null, null, reason);

    private const double LargestFaultMm = 1;
    private static readonly double[] ShorterRuns = [6, 2.5, 1.2];

    // Between the sides lies a strip that is empty but for strays. Its middle parts them: skins end in unequal radii, so the middle of their ends does not.
    private static double Middle(ReadOnlySpan<double> u, ReadOnlySpan<double> surroundDepth, ReadOnlySpan<double> doorDepth, SkinStart s, SkinStart d)
    {
        // Just below the lower skin: deeper, a seal may fill the gap.
        const double Bin = 0.1, PartedMm = 2.5;
        double from = s.EndMm - 0.5, to = -d.EndMm + 0.5, middle = (s.EndMm - d.EndMm) / 2;
        int bins = Math.Max(1, (int)((to - from) / Bin)), most = 0;
        int[] count = new int[bins];
        for (int i = 0; i < u.Length; i++)
        {
            double depth = Math.Min(surroundDepth[i], doorDepth[i]);
            if (!(depth is > -0.25 and < PartedMm)) continue;
            int b = (int)Math.Floor((u[i] - from) / Bin);
            if (b < 0 || b >= bins) continue;
            most = Math.Max(most, ++count[b]);
        }
        int least = Math.Max(3, most / 20), longest = 0, at = 0;
        for (int b = 0, run = 0; b < bins; b++)
        {
            run = count[b] <= least ? run + 1 : 0;
            if (run <= longest) continue;
            (longest, at) = (run, b - run + 1);
        }
        return longest * Bin >= 0.3 ? from + (at + longest / 2.0) * Bin : middle;
    }

    // The points of one side; their depths are moved to the front of all.
    private static SidePoints Own(SlabPoints points, ReadOnlySpan<double> x, Span<double> depth, double limit, SkinStart skin, Span<double> spare)
    {
        int n = 0;
        double from = skin.EndMm - SkinMm;
        ReadOnlySpan<double> s = points.S, y = points.V;
        Span<double> os = spare[..s.Length], ox = spare.Slice(s.Length, s.Length), oy = spare.Slice(2 * s.Length, s.Length);
        for (int i = 0; i < s.Length; i++)
        {
            double xi = x[i], down = depth[i];
            if (xi < from || xi >= limit || down is <= -3 or >= DeepestMm) continue;
            os[n] = s[i];
            ox[n] = xi;
            oy[n] = y[i];
            depth[n++] = down;
        }
        return new(os[..n].ToArray(), ox[..n].ToArray(), oy[..n].ToArray());
    }
}
