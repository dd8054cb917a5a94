using System.Runtime.CompilerServices;
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
    // The bisquare constant: tighter than usual, because points are plenty and clutter at 4 sigma (tape) is common.
    private const double Cut = 3.5;
    private const int MaxSteps = 25;

    private SideFit(SideParameters parameters, double[,] covariance, double noise, double cost, int used, bool converged, int steps) =>
        (Parameters, Covariance, NoiseMm, Cost, Used, Converged, Steps) = (parameters, covariance, noise, cost, used, converged, steps);

    public SideParameters Parameters { get; }

    /// <summary>Of all parameters; rows of parameters that were held are zero.</summary>
    public double[,] Covariance { get; private init; }

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

    /// <summary>How deep the wall was read, mm; 0 where it was left out.</summary>
    public double WallMm { get; private init; }

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
        Desk desk = new(points, map, prior);
        SideParameters at = start;
        bool converged = false;
        int steps = 0;
        double scale = scales.IsEmpty ? leastNoise : scales[0];
        for (int stage = 0; stage < scales.Length + noiseStages; stage++)
        {
            scale = stage < scales.Length ? scales[stage] : Noise(desk.Residual, scale, leastNoise);
            if (desk.Solve(ref at, scale, ref steps) is not bool settled) return null;
            converged = settled;
        }
        return desk.Finish(at, scale, converged, steps);
    }

    /// <summary>The fit proper: all points of the side, in cells.</summary>
    /// <param name="points">All points of the side.</param>
    /// <param name="start">A fit near the answer.</param>
    /// <param name="free">Which parameters are found.</param>
    /// <param name="prior">What is known beforehand.</param>
    /// <param name="shared">Variance that cells have beside their points' scatter, mm²: of the skin, and of edge and wall. Null to find the skin's from its own cells.</param>
    /// <param name="halfRun">Half the run that bears on the fit, mm.</param>
    /// <param name="wallMm">How deep the wall is read, mm; 0 to leave it out.</param>
    /// <param name="rounds">How often the cells are gathered.</param>
    /// <param name="wide">True where the start may lie several standard deviations off, so that points and cells are drawn in step by step.</param>
    public static SideFit? OverCells(SidePoints points, SideFit start, bool[] free, (double Value, double Sd)[] prior, (double Skin, double Edge)? shared, double halfRun, double wallMm, int rounds, bool wide = false)
    {
        int[] map = Map(free);
        SideParameters at = start.Parameters;
        double noise = Math.Max(1e-6, start.NoiseMm);
        (double Skin, double Edge) between = shared ?? (0, 0);
        SideFit? fit = null;
        int steps = 0;
        for (int round = 0; round < rounds; round++)
        {
            SideCells cells = SideCells.Of(points, at, wide && round == 0 ? 3 * noise : noise, halfRun, wallMm);
            if (cells.Count < map.Length + 5) return null;
            if (!wide || round > 0) noise = Math.Clamp(cells.NoiseMm, Math.Max(1e-6, noise / 2), 2 * noise);
            if (shared is null && fit is null) between = (0.04 * noise * noise, 0.04 * noise * noise);
            double[] multiplier = new double[cells.Count];
            for (int i = 0; i < multiplier.Length; i++) multiplier[i] = 1 / Math.Sqrt(cells.Own[i] + 1e-12 + (cells.Kind[i] == PieceKind.Skin ? between.Skin : between.Edge));
            Desk desk = new(new(cells.S, cells.X, cells.Y, multiplier), map, prior);
            // The first time the start may be a cell's noise or more away.
            if (wide && round == 0 && (desk.Solve(ref at, 8, ref steps) is null || desk.Solve(ref at, 4, ref steps) is null)) return null;
            if (round == 0 && desk.Solve(ref at, 2, ref steps) is null) return null;
            if (desk.Solve(ref at, 1, ref steps) is not bool converged) return null;
            if (desk.Finish(at, 1, converged, steps) is not SideFit found) return null;
            double[] off = desk.Residual;
            double explained = 0;
            for (int i = 0; i < off.Length; i++)
            {
                double t = off[i] / Cut, w = Math.Max(0, 1 - t * t);
                explained += w * w * cells.Points[i];
                off[i] /= multiplier[i];
            }
            if (shared is null)
            {
                double tau = Math.Max(0, Shared(cells, off, map.Length, skin: true) ?? 0);
                between = (tau, tau);
            }
            fit = new(at, found.Covariance, noise, found.Cost, cells.Counts[0] + cells.Counts[1] + cells.Counts[2], converged, steps)
            {
                SkinCount = cells.Counts[(int)PieceKind.Skin],
                EdgeCount = cells.Counts[(int)PieceKind.Edge],
                WallCount = cells.Counts[(int)PieceKind.Wall],
                Cells = cells,
                CellResiduals = off,
                HalfRunMm = halfRun,
                WallMm = wallMm,
                Explained = explained,
                BetweenMm2 = between,
            };
        }
        return fit;
    }

    /// <summary>Points that the outline explains, by the weight of point and cell.</summary>
    public double Explained { get; private init; }

    /// <summary>The variance that cells were given beside their points' scatter, mm².</summary>
    public (double Skin, double Edge) BetweenMm2 { get; private init; }

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
        Array.Sort(ratio, 0, n);
        Array.Sort(own, 0, n);
        // Half of the parameters are spent on either kind of cell.
        double chi = ratio[n / 2] / (RobustWeights.NormalMedian * RobustWeights.NormalMedian) / (1 - 0.5 * parameters / n);
        return (chi - 1) * own[n / 2];
    }

    private static int[] Map(bool[] free)
    {
        int n = free.Count(f => f), k = 0;
        int[] map = new int[n];
        for (int i = 0; i < free.Length; i++) if (free[i]) map[k++] = i;
        return map;
    }

    // Median absolute residual among those that the present scale does not throw out.
    private static double Noise(double[] residual, double scale, double least)
    {
        double[] sizes = new double[residual.Length];
        int n = 0;
        foreach (double r in residual)
        {
            double size = Math.Abs(r);
            if (size < Cut * scale) sizes[n++] = size;
        }
        if (n < 10) return Math.Max(least, scale);
        Array.Sort(sizes, 0, n);
        return Math.Max(least, sizes[n / 2] / RobustWeights.NormalMedian);
    }

    // One fit's arrays.
    private sealed class Desk
    {
        private readonly SidePoints _points;
        private readonly int[] _map;
        private readonly (double Value, double Sd)[] _prior;
        private double[,] _a, _a2;
        private double[] _g, _g2;

        public Desk(SidePoints points, int[] map, (double Value, double Sd)[] prior)
        {
            int m = map.Length;
            (_points, _map, _prior, _a, _a2, _g, _g2, Residual) = (points, map, prior, new double[m, m], new double[m, m], new double[m], new double[m], new double[points.Count]);
        }

        public double[] Residual { get; }

        // Null where the system has no solution; false where the steps ran out.
        public bool? Solve(ref SideParameters at, double scale, ref int steps)
        {
            int m = _map.Length;
            double damping = 1e-3, cost = Assemble(at, scale, _a, _g);
            bool converged = false, accepted = true;
            double[,] damped = new double[m, m];
            for (int step = 0; step < MaxSteps; step++)
            {
                steps++;
                Array.Copy(_a, damped, _a.Length);
                for (int i = 0; i < m; i++) damped[i, i] += damping * _a[i, i] + 1e-12;
                if (Cholesky.Factor(damped) is not double[,] factor) return null;
                double[] d = Cholesky.Solve(factor, _g);
                double size = 0;
                for (int i = 0; i < m; i++) size += d[i] * d[i] * _a[i, i];
                // Within a ten-thousandth of a standard deviation there is nothing left to find.
                if (accepted && size < 1e-8)
                {
                    converged = true;
                    break;
                }
                double[] moved = (double[])at.Values.Clone();
                for (int i = 0; i < m; i++) moved[_map[i]] -= d[i];
                if (!at.IsChamfer) moved[SideParameters.Break1] = Math.Max(0, moved[SideParameters.Break1]);
                SideParameters trial = new(at.IsChamfer, moved);
                double next = trial.IsShape ? Assemble(trial, scale, _a2, _g2) : double.PositiveInfinity;
                accepted = next <= cost;
                if (!accepted)
                {
                    damping = damping < 1e-6 ? 1e-3 : damping * 8;
                    if (damping > 1e7)
                    {
                        converged = true;   // no way down at all: rounding
                        break;
                    }
                    continue;
                }
                double gain = cost - next;
                (at, _a, _a2, _g, _g2, cost, damping) = (trial, _a2, _a, _g2, _g, next, damping / 6);
                if (gain <= 1e-9 * Math.Max(1, cost) || size < 1e-6)
                {
                    converged = true;
                    break;
                }
            }
            // The residuals of the last trial may be those of a refused step.
            if (!accepted) Assemble(at, scale, _a, _g);
            return converged;
        }

        // Loss, gradient and Gauss-Newton matrix; the prior counts as so many exact observations.
        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        private double Assemble(SideParameters at, double scale, double[,] a, double[] g)
        {
            int m = _map.Length;
            int[] map = _map;
            Array.Clear(g);
            SideModel model = new(at);
            Span<double> all = stackalloc double[SideParameters.Count];
            Span<double> j = stackalloc double[SideParameters.Count];
            Span<double> upper = stackalloc double[SideParameters.Count * SideParameters.Count];
            upper.Clear();
            double cut = Cut * scale, cost = 0, inverse = 1 / (scale * scale), full = cut * cut / 6 * inverse;
            (double[] s, double[] x, double[] y, double[] weight) = (_points.S, _points.X, _points.Y, _points.Multiplier);
            for (int i = 0; i < s.Length; i++)
            {
                double r = weight[i] * model.At(s[i], x[i], y[i], all).Distance;
                Residual[i] = r;
                double t = r / cut, w = 1 - t * t;
                if (!(w > 0))
                {
                    cost += full;
                    continue;
                }
                cost += full * (1 - w * w * w);
                w = w * w * inverse;
                for (int k = 0; k < m; k++) j[k] = weight[i] * all[map[k]];
                for (int k = 0; k < m; k++)
                {
                    double wj = w * j[k];
                    if (wj == 0) continue;
                    g[k] += wj * r;
                    Span<double> row = upper[(k * m)..];
                    for (int l = k; l < m; l++) row[l] += wj * j[l];
                }
            }
            for (int k = 0; k < m; k++)
            {
                for (int l = k; l < m; l++) a[k, l] = a[l, k] = upper[k * m + l];
                (double value, double sd) = _prior[map[k]];
                if (!double.IsFinite(sd)) continue;
                double off = at.Values[map[k]] - value;
                a[k, k] += 1 / (sd * sd);
                g[k] += off / (sd * sd);
                cost += off * off / (2 * sd * sd);
            }
            return cost;
        }

        public SideFit? Finish(SideParameters at, double scale, bool converged, int steps)
        {
            int[] map = _map;
            int m = map.Length, rows = 0;
            SideModel model = new(at);
            Span<double> all = stackalloc double[SideParameters.Count];
            double[,] bread = new double[m, m];
            double cut = Cut * scale, loss = 0, psi2 = 0, slope = 0;
            int[] counts = new int[3];
            (double[] s, double[] x, double[] y, double[] weight) = (_points.S, _points.X, _points.Y, _points.Multiplier);
            for (int i = 0; i < s.Length; i++)
            {
                (double r, PieceKind piece) = model.At(s[i], x[i], y[i], all);
                r *= weight[i];
                double t = r / cut, u = 1 - t * t;
                loss += u > 0 ? 1 - u * u * u : 1;
                if (!(u > 0)) continue;
                double w = u * u, w2 = weight[i] * weight[i];
                if (w > 0.1)
                {
                    counts[(int)piece]++;
                    rows++;
                }
                psi2 += w * w * r * r;
                // Derivative of the bisquare's pull, which is what the data hold the answer with.
                double pull = u * (1 - 5 * t * t);
                slope += pull;
                pull *= w2;
                for (int k = 0; k < m; k++)
                {
                    double jk = pull * all[map[k]];
                    if (jk == 0) continue;
                    for (int l = k; l < m; l++) bread[k, l] += jk * all[map[l]];
                }
            }
            if (rows <= m || !(slope > 0)) return null;
            // What points tell is E[psi']^2 / E[psi^2] of what they would without the loss; one psi' stands in the matrix.
            double told = slope / s.Length / (psi2 / (s.Length - m));
            for (int k = 0; k < m; k++)
            {
                for (int l = k; l < m; l++) bread[k, l] = bread[l, k] = told * bread[k, l];
                double sd = _prior[map[k]].Sd;
                if (double.IsFinite(sd)) bread[k, k] += 1 / (sd * sd);
            }
            if ((Cholesky.Factor(bread) ?? Careful()) is not double[,] factor) return null;
            double[,] inverse = Cholesky.Inverse(factor), covariance = new double[SideParameters.Count, SideParameters.Count];
            for (int k = 0; k < m; k++)
            {
                for (int l = 0; l < m; l++) covariance[map[k], map[l]] = inverse[k, l];
            }
            return new(at, covariance, scale, loss / s.Length, rows, converged, steps)
            {
                SkinCount = counts[(int)PieceKind.Skin],
                EdgeCount = counts[(int)PieceKind.Edge],
                WallCount = counts[(int)PieceKind.Wall],
            };

            // Of few points those far off, whose pull grows less with distance, can outdo the others in some movement. The weights, which are never negative, then say what is held,
            // lessened by what the loss costs all points together.
            double[,]? Careful()
            {
                Assemble(at, scale, _a, _g);
                double weights = 0;
                for (int i = 0; i < s.Length; i++)
                {
                    double t = Residual[i] / cut, u = 1 - t * t;
                    if (u > 0) weights += u * u;
                }
                double less = Math.Min(1, slope / weights);
                for (int k = 0; k < m; k++)
                {
                    for (int l = 0; l < m; l++) _a[k, l] *= less;
                }
                return Cholesky.Factor(_a);
            }
        }
    }
}
