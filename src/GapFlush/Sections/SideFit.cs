using System.Runtime.CompilerServices;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>The side of a seam that fits some points best, with the clutter among them set aside.</summary>
/// <remarks>
/// <para>Method: robust nonlinear least squares on the distances of all points from the whole outline (skin, edge and wall as one model), with the bisquare loss drawn in from
/// a third of a millimetre to the noise of the data, so that clutter near the start does not hold the fit. METHOD.md, eq. 26 to 30.</para>
/// <para>The covariance is the larger of the plain one and one in which points of one small patch count together: neighbours in a scan share errors.</para>
/// <para>Source: R. M. Lewis style damping as in J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105 [from memory]; covariance of grouped data: K.-Y. Liang and
/// S. Zeger, Biometrika 73 (1986) 13 [from memory].</para>
/// </remarks>
internal sealed class SideFit
{
    // The bisquare constant: tighter than usual, because points are plenty and clutter at 4 sigma (tape) is common.
    private const double Cut = 3.5;
    // Half normal median of residuals cut at 3.5 is that of uncut ones within 1e-3.
    private const int MaxSteps = 25;

    private SideFit(SideParameters parameters, double[,] covariance, double noise, double cost, int used, int skin, int edge, int wall, bool converged, int steps) =>
        (Parameters, Covariance, NoiseMm, Cost, Used, SkinCount, EdgeCount, WallCount, Converged, Steps) = (parameters, covariance, noise, cost, used, skin, edge, wall, converged, steps);

    public SideParameters Parameters { get; }

    /// <summary>Of all parameters; rows of parameters that were held are zero.</summary>
    public double[,] Covariance { get; }

    /// <summary>Standard deviation of a point's distance from the outline, mm.</summary>
    public double NoiseMm { get; }

    /// <summary>Mean loss a point, in units of a scale common to fits that are compared.</summary>
    public double Cost { get; }

    /// <summary>Points that bear on the result (weight above a tenth).</summary>
    public int Used { get; }

    public int SkinCount { get; }

    public int EdgeCount { get; }

    public int WallCount { get; }

    public bool Converged { get; }

    public int Steps { get; }

    /// <summary>Fits from a start.</summary>
    /// <param name="points">The points of the side.</param>
    /// <param name="start">Where to start.</param>
    /// <param name="free">Which parameters are found; the others are held.</param>
    /// <param name="prior">What is known beforehand: value and standard deviation by parameter; infinite where nothing is.</param>
    /// <param name="scales">The scales through which the loss is drawn in, mm; after them the noise of the data, and no less than <paramref name="leastNoise"/>.</param>
    /// <param name="leastNoise">The smallest noise believed, mm.</param>
    public static SideFit? Run(SidePoints points, SideParameters start, bool[] free, (double Value, double Sd)[] prior, ReadOnlySpan<double> scales, double leastNoise = 1e-6)
    {
        int n = points.Count;
        int[] map = [.. Enumerable.Range(0, SideParameters.Count).Where(i => free[i])];
        if (n < map.Length) return null;
        double[] residual = new double[n];
        SideParameters at = start;
        bool converged = false;
        int steps = 0;
        double scale = scales.IsEmpty ? leastNoise : scales[0];
        for (int stage = 0; stage < scales.Length + 3; stage++)
        {
            // After the given scales: the noise as the residuals tell it, three times, since the set of good points moves with it.
            scale = stage < scales.Length ? scales[stage] : Noise(residual, scale, leastNoise);
            double damping = 1e-3;
            double[,] a = new double[map.Length, map.Length];
            double[] g = new double[map.Length];
            double cost = Assemble(at, points, scale, map, prior, a, g, residual);
            converged = false;
            for (int step = 0; step < MaxSteps; step++)
            {
                steps++;
                double[,] damped = (double[,])a.Clone();
                for (int i = 0; i < map.Length; i++) damped[i, i] += damping * a[i, i] + 1e-12;
                if (Cholesky.Factor(damped) is not double[,] factor) return null;
                double[] d = Cholesky.Solve(factor, g);
                double[] moved = (double[])at.Values.Clone();
                for (int i = 0; i < map.Length; i++) moved[map[i]] -= d[i];
                if (map.Contains(SideParameters.Break1) && !at.IsChamfer) moved[SideParameters.Break1] = Math.Max(0, moved[SideParameters.Break1]);
                SideParameters trial = new(at.IsChamfer, moved);
                double[,] a2 = new double[map.Length, map.Length];
                double[] g2 = new double[map.Length];
                double next = trial.IsShape ? Assemble(trial, points, scale, map, prior, a2, g2, residual) : double.PositiveInfinity;
                if (!(next <= cost))
                {
                    damping = damping < 1e-6 ? 1e-3 : damping * 8;
                    if (damping > 1e7) { converged = true; break; }   // no way down at all: rounding
                    continue;
                }
                double gain = cost - next, size = 0;
                for (int i = 0; i < map.Length; i++) size += d[i] * d[i] * a[i, i];
                (at, a, g, cost, damping) = (trial, a2, g2, next, damping / 6);
                if (gain <= 1e-9 * Math.Max(1, cost) || size < 1e-6) { converged = true; break; }
            }
            // The residuals of the last trial may be those of a refused step.
            cost = Assemble(at, points, scale, map, prior, a, g, residual);
        }
        return Finish(at, points, scale, map, prior, converged, steps);
    }

    // Loss, gradient and Gauss-Newton matrix; the prior counts as so many exact observations.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static double Assemble(SideParameters at, SidePoints points, double scale, int[] map, (double Value, double Sd)[] prior, double[,] a, double[] g, double[] residual)
    {
        int m = map.Length;
        Array.Clear(a);
        Array.Clear(g);
        SideModel model = new(at);
        Span<double> all = stackalloc double[SideParameters.Count];
        Span<double> j = stackalloc double[SideParameters.Count];
        Span<double> upper = stackalloc double[SideParameters.Count * SideParameters.Count];
        upper.Clear();
        double cut = Cut * scale, cost = 0, inverse = 1 / (scale * scale), full = cut * cut / 6 * inverse;
        (double[] s, double[] x, double[] y, double[] weight) = (points.S, points.X, points.Y, points.Multiplier);
        for (int i = 0; i < s.Length; i++)
        {
            double r = weight[i] * model.At(s[i], x[i], y[i], all).Distance;
            residual[i] = r;
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
                g[k] += wj * r;
                for (int l = k; l < m; l++) upper[k * m + l] += wj * j[l];
            }
        }
        for (int k = 0; k < m; k++)
        {
            for (int l = k; l < m; l++) a[k, l] = a[l, k] = upper[k * m + l];
            (double value, double sd) = prior[map[k]];
            if (!double.IsFinite(sd)) continue;
            double off = at.Values[map[k]] - value;
            a[k, k] += 1 / (sd * sd);
            g[k] += off / (sd * sd);
            cost += off * off / (2 * sd * sd);
        }
        return cost;
    }

    // Median absolute residual among those that the present scale does not throw out.
    private static double Noise(double[] residual, double scale, double least)
    {
        double[] sizes = [.. residual.Select(Math.Abs).Where(r => r < Cut * scale)];
        if (sizes.Length < 10) return Math.Max(least, scale);
        Array.Sort(sizes);
        return Math.Max(least, sizes[sizes.Length / 2] / RobustWeights.NormalMedian);
    }

    private static SideFit? Finish(SideParameters at, SidePoints points, double scale, int[] map, (double Value, double Sd)[] prior, bool converged, int steps)
    {
        int m = map.Length, used = 0, rows = 0;
        SideModel model = new(at);
        Span<double> all = stackalloc double[SideParameters.Count];
        double[,] bread = new double[m, m];
        Dictionary<(int, int), double[]> patches = [];
        double cut = Cut * scale, loss = 0, noise2 = 0;
        int[] counts = new int[3];
        (double[] s, double[] x, double[] y) = (points.S, points.X, points.Y);
        for (int i = 0; i < s.Length; i++)
        {
            (double r, PieceKind piece) = model.At(s[i], x[i], y[i], all);
            r *= points.Multiplier[i];
            for (int k = 0; k < all.Length; k++) all[k] *= points.Multiplier[i];
            double t = r / cut, u = 1 - t * t;
            loss += u > 0 ? 1 - u * u * u : 1;
            if (!(u > 0)) continue;
            double w = u * u;
            if (w > 0.1)
            {
                used += points.Stands[i];
                counts[(int)piece] += points.Stands[i];
                rows++;
            }
            noise2 += w * w * r * r;
            // Derivative of the bisquare's pull, which is what the data hold the answer with.
            double pull = u * (1 - 5 * t * t);
            (int, int) patch = ((int)Math.Floor(s[i] / PatchMm), piece == PieceKind.Wall ? 1000 + (int)Math.Floor(y[i] / PatchMm) : piece == PieceKind.Edge ? 2000 : (int)Math.Floor(x[i] / PatchMm));
            if (!patches.TryGetValue(patch, out double[]? score)) patches[patch] = score = new double[m];
            for (int k = 0; k < m; k++)
            {
                double jk = all[map[k]];
                score[k] += w * r * jk;
                for (int l = k; l < m; l++) bread[k, l] += pull * jk * all[map[l]];
            }
        }
        if (rows <= m) return null;
        // E[psi^2] / E[psi']^2 is the variance of an estimate in units of the plain one; psi' stands in the matrix.
        double psi2 = noise2 / (rows - m), total = psi2;
        double[,] information = new double[m, m];
        for (int k = 0; k < m; k++)
        {
            for (int l = k; l < m; l++) information[k, l] = information[l, k] = bread[k, l];
        }
        double[,] withPrior = (double[,])information.Clone();
        for (int k = 0; k < m; k++)
        {
            double sd = prior[map[k]].Sd;
            if (double.IsFinite(sd)) withPrior[k, k] += psi2 / (sd * sd);
        }
        if (Cholesky.Factor(withPrior) is not double[,] factor) return null;
        double[,] inverse = Cholesky.Inverse(factor);

        double[,] plain = new double[m, m], grouped = new double[m, m], meat = new double[m, m];
        foreach (double[] score in patches.Values)
            for (int k = 0; k < m; k++)
                for (int l = 0; l < m; l++) meat[k, l] += score[k] * score[l];
        double few = patches.Count > m ? (double)patches.Count / (patches.Count - m) : 1;
        for (int k = 0; k < m; k++)
        {
            double sd = prior[map[k]].Sd;
            for (int l = 0; l < m; l++)
            {
                plain[k, l] = total * inverse[k, l];
                meat[k, l] *= few;
            }
            if (double.IsFinite(sd)) meat[k, k] += psi2 * psi2 / (sd * sd);
        }
        grouped = Cholesky.Sandwich(inverse, meat);
        double[,] covariance = new double[SideParameters.Count, SideParameters.Count];
        for (int k = 0; k < m; k++)
        {
            for (int l = 0; l < m; l++) covariance[map[k], map[l]] = patches.Count > 2 * m ? grouped[k, l] : plain[k, l];
        }
        SideFit fit = new(at, covariance, scale, loss / s.Length, used, counts[(int)PieceKind.Skin], counts[(int)PieceKind.Edge], counts[(int)PieceKind.Wall], converged, steps)
        {
            PlainCovariance = Spread(plain, map),
        };
        return fit;
    }

    /// <summary>The covariance that independent errors would give.</summary>
    public double[,] PlainCovariance { get; private init; } = new double[SideParameters.Count, SideParameters.Count];

    private const double PatchMm = 3;

    private static double[,] Spread(double[,] small, int[] map)
    {
        double[,] full = new double[SideParameters.Count, SideParameters.Count];
        for (int k = 0; k < map.Length; k++)
            for (int l = 0; l < map.Length; l++) full[map[k], map[l]] = small[k, l];
        return full;
    }
}
