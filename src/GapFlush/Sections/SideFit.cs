using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>The side of a seam that fits some points best, with the clutter among them set aside.</summary>
/// <remarks>
/// <para>Method: robust nonlinear least squares on the distances of all points from the whole outline (skin, edge and wall as one model). A first fit takes points one by one, with the bisquare
/// loss drawn in from a third of a millimetre to the noise of the data, so that clutter near the start does not hold it; the fit proper takes cells of points (<see cref="SideCells"/>),
/// gathered again over its result. METHOD.md, eq. 26 to 31.</para>
/// <para>Source: R. M. Lewis style damping as in J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105 [from memory]; covariance of M-estimates: P. J. Huber, Robust Statistics (1981),
/// chapter 7 [from memory].</para>
/// </remarks>
internal sealed class SideFit
{
    private const double Cut = FitDesk.Cut;

    private SideFit(SideParameters parameters, double[,] covariance, double noise, double cost, int used, bool converged, int steps) =>
        (Parameters, Covariance, NoiseMm, Cost, Used, Converged, Steps) = (parameters, covariance, noise, cost, used, converged, steps);

    public SideParameters Parameters { get; }

    /// <summary>Of all parameters; rows of parameters that were held are zero.</summary>
    public double[,] Covariance { get; private init; }

    /// <summary>By how much each parameter follows a wall that is moved outward by one millimetre against its edge and skin.</summary>
    public double[] WallShift { get; private init; } = new double[SideParameters.Count];

    /// <summary>Standard deviation of a point's distance from the outline, mm.</summary>
    public double NoiseMm { get; private init; }

    /// <summary>Mean loss a point, in units of a scale common to fits that are compared.</summary>
    public double Cost { get; }

    /// <summary>Points that bear on the result (weight above a tenth).</summary>
    public int Used { get; private init; }

    public int SkinCount { get; private init; }

    public int EdgeCount { get; private init; }

    public int WallCount { get; private init; }

    public bool Converged { get; }

    public int Steps { get; }

    /// <summary>The cells of the fit proper; null for a fit to points.</summary>
    public SideCells? Cells { get; private init; }

    /// <summary>How far the cells lie from the outline, mm.</summary>
    public double[] CellResiduals { get; private init; } = [];

    /// <summary>Half the run that bore on the fit, mm.</summary>
    public double HalfRunMm { get; private init; }

    /// <summary>What the next longer run gave, where a local fault made this one shorter; else null.</summary>
    public SideParameters? OverLongerRun { get; private set; }

    /// <summary>The fit over the whole run, where a local fault made this one shorter; else itself.</summary>
    public SideFit Whole => _whole ?? this;

    private SideFit? _whole;

    /// <summary>How deep the wall was read, mm; 0 where it was left out.</summary>
    public double WallMm { get; private init; }

    /// <summary>Notes the fit over a longer run that this one took the place of.</summary>
    public SideFit InPlaceOf(SideFit longer)
    {
        (OverLongerRun, _whole) = (longer.Parameters, longer.Whole);
        return this;
    }

    /// <summary>The same fit as a start elsewhere.</summary>
    public SideFit From(SideParameters start) => new(start, Covariance, NoiseMm, Cost, Used, Converged, Steps);

    /// <summary>Fits from a start, point by point.</summary>
    /// <param name="points">The points of the side.</param>
    /// <param name="start">Where to start.</param>
    /// <param name="free">Which parameters are found; the others are held.</param>
    /// <param name="prior">What is known beforehand: value and standard deviation by parameter; infinite where nothing is.</param>
    /// <param name="scales">The scales through which the loss is drawn in, mm; after them the noise of the data, and no less than <paramref name="leastNoise"/>.</param>
    /// <param name="leastNoise">The smallest noise believed, mm.</param>
    /// <param name="noiseStages">How often the noise is taken anew: the set of good points moves with it.</param>
    public static SideFit? Run(SidePoints points, SideParameters start, bool[] free, (double Value, double Sd)[] prior, ReadOnlySpan<double> scales, double leastNoise = 1e-6, int noiseStages = 3)
    {
        int[] map = Map(free);
        if (points.Count < map.Length) return null;
        FitDesk desk = new(points, map, prior);
        SideParameters at = start;
        bool converged = false;
        int steps = 0;
        double scale = scales.IsEmpty ? leastNoise : scales[0];
        for (int stage = 0; stage < scales.Length + noiseStages; stage++)
        {
            scale = stage < scales.Length ? scales[stage] : Scatter(desk.Residual, scale, leastNoise);
            if (desk.Solve(ref at, scale, ref steps) is not bool settled) return null;
            converged = settled;
        }
        return Of(desk, at, scale, converged, steps);
    }

    /// <summary>The fit proper: all points of the side, in cells.</summary>
    /// <param name="points">All points of the side.</param>
    /// <param name="start">A fit near the answer.</param>
    /// <param name="free">Which parameters are found.</param>
    /// <param name="prior">What is known beforehand.</param>
    /// <param name="shared">How cells scatter beside what their points explain. Null to find the skin's from its own cells.</param>
    /// <param name="halfRun">Half the run that bears on the fit, mm.</param>
    /// <param name="wallMm">How deep the wall is read, mm; 0 to leave it out.</param>
    /// <param name="rounds">How often the cells are gathered.</param>
    /// <param name="wide">True where the start may lie several standard deviations off, so that points and cells are drawn in step by step.</param>
    public static SideFit? OverCells(SidePoints points, SideFit start, bool[] free, (double Value, double Sd)[] prior, CellNoise? shared, double halfRun, double wallMm, int rounds, bool wide = false)
    {
        int[] map = Map(free);
        SideParameters at = start.Parameters;
        double noise = Math.Max(1e-6, start.NoiseMm);
        CellNoise between = shared ?? new(0, 0, []);
        SideFit? fit = null;
        int steps = 0;
        for (int round = 0; round < rounds; round++)
        {
            SideCells cells = SideCells.Of(points, at, wide && round == 0 ? 3 * noise : noise, halfRun, wallMm);
            if (cells.Count < map.Length + 5) return null;
            if (!wide || round > 0) noise = Math.Clamp(cells.NoiseMm, Math.Max(1e-6, noise / 2), 2 * noise);
            if (shared is null && fit is null) between = new(0.04 * noise * noise, 0.04 * noise * noise, []);
            double[] multiplier = new double[cells.Count], beside = round > 0 ? cells.BesideOff(between) : multiplier;
            for (int i = 0; i < multiplier.Length; i++) multiplier[i] = 1 / Math.Sqrt(cells.Own[i] + 1e-12 + between.Of(cells.Kind[i]) + beside[i]);
            FitDesk desk = new(new(cells.S, cells.X, cells.Y, multiplier), map, prior, isWalled: wallMm > 0);
            // The first time the start may be a cell's noise or more away.
            if (wide && round == 0 && (desk.Solve(ref at, 8, ref steps) is null || desk.Solve(ref at, 4, ref steps) is null)) return null;
            if (round == 0 && desk.Solve(ref at, 2, ref steps) is null) return null;
            if (desk.Solve(ref at, 1, ref steps) is not bool converged) return null;
            if (Of(desk, at, 1, converged, steps) is not SideFit found) return null;
            double[] off = desk.Residual, neighbours = [];
            double[,] covariance = found.Covariance;
            // Of the last round only: the cells before it are a step on the way.
            if (round == rounds - 1 && (shared is null || shared.Correlation.Any(c => c > 0)))
            {
                double[] rows = desk.Weighted(at, 1);
                double[,] inner = Free(covariance, map);
                if (shared is null) neighbours = CellNeighbours.Sums(cells, rows, off, inner);
                else covariance = Widened(covariance, map, CellNeighbours.Added(cells, rows, inner, shared.Correlation));
            }
            double explained = 0;
            for (int i = 0; i < off.Length; i++)
            {
                double t = off[i] / Cut, w = Math.Max(0, 1 - t * t);
                explained += w * w * cells.Share[i];
                off[i] /= multiplier[i];
            }
            if (shared is null)
            {
                double tau = Math.Max(0, Shared(cells, off, map.Length, skin: true) ?? 0);
                between = new(tau, tau, []);
            }
            fit = new(at, covariance, noise, found.Cost, cells.Counts[0] + cells.Counts[1] + cells.Counts[2], converged, steps)
            {
                SkinCount = cells.Counts[(int)PieceKind.Skin],
                EdgeCount = cells.Counts[(int)PieceKind.Edge],
                WallCount = cells.Counts[(int)PieceKind.Wall],
                Cells = cells,
                CellResiduals = off,
                HalfRunMm = halfRun,
                WallMm = wallMm,
                Explained = explained,
                Noise = between,
                Neighbours = neighbours,
                WallShift = found.WallShift,
            };
        }
        return fit;
    }

    /// <summary>Points of a shorter run that a fit explains as it stands, by the weight of cells and their area.</summary>
    public static double ExplainedBy(SidePoints points, SideFit fit, CellNoise? noise, double halfRun)
    {
        SideCells cells = SideCells.Of(points, fit.Parameters, fit.NoiseMm, halfRun, fit.WallMm);
        double explained = 0;
        for (int i = 0; i < cells.Count; i++)
        {
            double t = cells.Distance[i] / Cut, w = Math.Max(0, 1 - t * t / (cells.Own[i] + 1e-12 + (noise?.Of(cells.Kind[i]) ?? 0)));
            explained += w * w * cells.Share[i];
        }
        return explained;
    }

    /// <summary>Points that the outline explains, by the weight of cells and their area.</summary>
    public double Explained { get; private init; }

    /// <summary>What cells were given beside their points' scatter.</summary>
    public CellNoise? Noise { get; private init; }

    /// <summary>What the fit tells of neighbouring cells (<see cref="CellNeighbours.Sums"/>); empty where it was told.</summary>
    public double[] Neighbours { get; private init; } = [];

    /// <summary>The variance that the cells of a fit share beside their points' scatter, mm², signed, so that means over stations are fair; null where there are too few cells.</summary>
    public static double? Shared(SideCells cells, double[] off, int parameters, bool skin)
    {
        double[] ratio = new double[cells.Count], own = new double[cells.Count];
        int n = 0;
        for (int i = 0; i < cells.Count; i++)
        {
            if ((cells.Kind[i] == PieceKind.Skin) != skin || cells.Points[i] < 2) continue;
            ratio[n] = off[i] * off[i] / cells.Own[i];
            own[n++] = cells.Own[i];
        }
        if (n < 2 * parameters) return null;
        // Half of the parameters are spent on either kind of cell.
        double chi = Selection.Nth(ratio.AsSpan(0, n), n / 2) / (RobustWeights.NormalMedian * RobustWeights.NormalMedian) / (1 - 0.5 * parameters / n);
        return (chi - 1) * Selection.Nth(own.AsSpan(0, n), n / 2);
    }

    private static SideFit? Of(FitDesk desk, SideParameters at, double scale, bool converged, int steps)
    {
        Span<int> counts = stackalloc int[3];
        double[] wallShift = new double[SideParameters.Count];
        return desk.Covariance(at, scale, counts, wallShift, out double cost) is not double[,] covariance ? null : new(at, covariance, scale, cost, counts[0] + counts[1] + counts[2], converged, steps)
        {
            SkinCount = counts[(int)PieceKind.Skin],
            EdgeCount = counts[(int)PieceKind.Edge],
            WallCount = counts[(int)PieceKind.Wall],
            WallShift = wallShift,
        };
    }

    private static double[,] Free(double[,] covariance, int[] map)
    {
        double[,] inner = new double[map.Length, map.Length];
        for (int k = 0; k < map.Length; k++) for (int l = 0; l < map.Length; l++) inner[k, l] = covariance[map[k], map[l]];
        return inner;
    }

    private static double[,] Widened(double[,] covariance, int[] map, double[,] added)
    {
        double[,] wider = (double[,])covariance.Clone();
        for (int k = 0; k < map.Length; k++) for (int l = 0; l < map.Length; l++) wider[map[k], map[l]] += added[k, l];
        // Correlations that were found pair by pair need not go together; then what each parameter has gained is taken by itself.
        if (Cholesky.Factor(Free(wider, map)) is not null) return wider;
        wider = (double[,])covariance.Clone();
        for (int k = 0; k < map.Length; k++) wider[map[k], map[k]] += Math.Max(0, added[k, k]);
        return wider;
    }

    private static int[] Map(bool[] free)
    {
        int n = free.Count(f => f), k = 0;
        int[] map = new int[n];
        for (int i = 0; i < free.Length; i++) if (free[i]) map[k++] = i;
        return map;
    }

    // Median absolute residual among those that the present scale does not throw out.
    private static double Scatter(double[] residual, double scale, double least)
    {
        double[] sizes = new double[residual.Length];
        int n = 0;
        foreach (double r in residual)
        {
            double size = Math.Abs(r);
            if (size < Cut * scale) sizes[n++] = size;
        }
        if (n < 10) return Math.Max(least, scale);
        return Math.Max(least, Selection.Nth(sizes.AsSpan(0, n), n / 2) / RobustWeights.NormalMedian);
    }
}
