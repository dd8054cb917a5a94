using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>The steps of one robust fit of a side to points, and the room they are reckoned in.</summary>
/// <remarks>Method: damped Gauss-Newton on the normal equations of the bisquare loss with a prior (METHOD.md, eq. 26 to 29). Points are taken in blocks: their distances and derivatives go
/// into columns, whose weighted products are the equations.</remarks>
internal sealed class FitDesk
{
    // The bisquare constant: tighter than usual, because points are plenty and clutter at 4 sigma (tape) is common.
    public const double Cut = 3.5;

    private const int MaxSteps = 25;
    // Points reckoned together: their columns stay in the nearest memory.
    private const int Block = 64;

    private readonly SidePoints _points;
    private readonly int[] _map, _chosen;
    private readonly (double Value, double Sd)[] _prior;
    private readonly bool _isWalled;
    private readonly double[] _columns = new double[SideModel.Columns * Block], _weight = new double[Block], _damped, _move;
    private readonly Vector256<double>[] _sums;
    private double[] _a, _a2, _g, _g2;

    /// <summary>Makes ready.</summary>
    /// <param name="points">The points.</param>
    /// <param name="map">Which parameters are free.</param>
    /// <param name="prior">What is known beforehand, of all parameters.</param>
    /// <param name="isWalled">False where no wall is among the points: then none tells where it stands, but that it is not before the last of the edge.</param>
    public FitDesk(SidePoints points, int[] map, (double Value, double Sd)[] prior, bool isWalled = true)
    {
        int m = map.Length;
        _isWalled = isWalled;
        (_points, _map, _prior, _chosen) = (points, map, prior, [.. map, SideModel.DistanceColumn]);
        (_a, _a2, _damped, _g, _g2, _move) = (new double[m * m], new double[m * m], new double[m * m], new double[m], new double[m], new double[m]);
        (_sums, Residual) = (new Vector256<double>[(m + 1) * (m + 1)], new double[points.Count]);
    }

    /// <summary>Weighted distances of the points from where the fit stands.</summary>
    public double[] Residual { get; }

    /// <summary>Moves to the least loss; null where the system has no solution, false where the steps ran out.</summary>
    public bool? Solve(ref SideParameters at, double scale, ref int steps)
    {
        int m = _map.Length;
        double damping = 1e-3, cost = Assemble(at, scale, _a, _g);
        bool converged = false, accepted = true;
        for (int step = 0; step < MaxSteps; step++)
        {
            steps++;
            _a.CopyTo(_damped, 0);
            _g.CopyTo(_move, 0);
            for (int i = 0; i < m; i++) _damped[i * m + i] += damping * _a[i * m + i] + 1e-12;
            if (!Cholesky.Factor(_damped, m)) return null;
            Cholesky.Solve(_damped, _move);
            double size = 0;
            for (int i = 0; i < m; i++) size += _move[i] * _move[i] * _a[i * m + i];
            // Within a ten-thousandth of a standard deviation there is nothing left to find.
            if (accepted && size < 1e-8)
            {
                converged = true;
                break;
            }
            double[] moved = (double[])at.Values.Clone();
            for (int i = 0; i < m; i++) moved[_map[i]] -= _move[i];
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

    /// <summary>Covariance of all parameters where the fit has come to; rows of those that were held are zero. Null where the points do not hold them.</summary>
    /// <param name="at">Where the fit has come to.</param>
    /// <param name="scale">Scale of the loss.</param>
    /// <param name="counts">Points with a weight above a tenth, by piece.</param>
    /// <param name="wallShift">Takes by how much each parameter follows a wall that is moved outward by one millimetre against its edge and skin.</param>
    /// <param name="loss">Mean loss a point.</param>
    public double[,]? Covariance(SideParameters at, double scale, Span<int> counts, double[] wallShift, out double loss)
    {
        int m = _map.Length, all = _points.Count, rows = 0;
        SideModel model = new(at);
        double cut = Cut * scale, psi2 = 0, slope = 0;
        double[] wallPull = new double[m];
        loss = 0;
        Array.Clear(_sums);
        for (int from = 0; from < all; from += Block)
        {
            ReadOnlySpan<double> multiplier = Rows(model, from, out int padded);
            _weight.AsSpan(0, padded).Clear();
            for (int i = 0; i < multiplier.Length; i++)
            {
                double r = multiplier[i] * _columns[SideModel.DistanceColumn * Block + i], t = r / cut, u = 1 - t * t;
                loss += u > 0 ? 1 - u * u * u : 1;
                if (!(u > 0)) continue;
                bool isWall = _columns[SideModel.PieceColumn * Block + i] == (double)PieceKind.Wall;
                // The end of a chamfer that goes on to a wall unseen is held from one side: how far on it goes they do not tell.
                if (isWall && !_isWalled) continue;
                double w = u * u;
                if (w > 0.1)
                {
                    counts[(int)_columns[SideModel.PieceColumn * Block + i]]++;
                    rows++;
                }
                psi2 += w * w * r * r;
                // Derivative of the bisquare's pull, which is what the data hold the answer with.
                double pull = u * (1 - 5 * t * t);
                slope += pull;
                _weight[i] = pull * multiplier[i] * multiplier[i];
                if (!isWall) continue;
                for (int k = 0; k < m; k++) wallPull[k] += _weight[i] * _columns[_map[k] * Block + i];
            }
            CrossProducts.Add(_columns, Block, _chosen, _weight.AsSpan(0, padded), _sums);
        }
        loss /= all;
        if (rows <= m || !(slope > 0)) return null;
        // What points tell is E[psi']^2 / E[psi^2] of what they would without the loss; one psi' stands in the matrix.
        double told = slope / all / (psi2 / (all - m));
        double[,] bread = new double[m, m];
        for (int k = 0; k < m; k++)
        {
            for (int l = k; l < m; l++) bread[k, l] = bread[l, k] = told * Vector256.Sum(_sums[k * (m + 1) + l]);
            double sd = _prior[_map[k]].Sd;
            if (double.IsFinite(sd)) bread[k, k] += 1 / (sd * sd);
        }
        if ((Cholesky.Factor(bread) ?? Careful(at, scale, slope)) is not double[,] factor) return null;
        double[,] inverse = Cholesky.Inverse(factor), covariance = new double[SideParameters.Count, SideParameters.Count];
        for (int k = 0; k < m; k++)
        {
            for (int l = 0; l < m; l++)
            {
                covariance[_map[k], _map[l]] = inverse[k, l];
                // A wall outward of where it was is seen at distances that much larger.
                wallShift[_map[k]] -= inverse[k, l] * told * wallPull[l];
            }
        }
        return covariance;
    }

    /// <summary>Derivatives of the residuals by the free parameters where the fit has come to, each point's by the root of its say; row by row.</summary>
    public double[] Weighted(SideParameters at, double scale)
    {
        int m = _map.Length;
        double[] rows = new double[m * _points.Count];
        SideModel model = new(at);
        for (int from = 0; from < _points.Count; from += Block)
        {
            ReadOnlySpan<double> multiplier = Rows(model, from, out _);
            for (int i = 0; i < multiplier.Length; i++)
            {
                double t = multiplier[i] * _columns[SideModel.DistanceColumn * Block + i] / (Cut * scale), u = 1 - t * t, root = multiplier[i] * Math.Sqrt(Math.Max(0, u > 0 ? u * (1 - 5 * t * t) : 0));
                for (int k = 0; k < m; k++) rows[(from + i) * m + k] = root * _columns[_map[k] * Block + i];
            }
        }
        return rows;
    }

    // Of few points those far off, whose pull grows less with distance, can outdo the others in some movement. The weights, which are never negative, then say what is held,
    // lessened by what the loss costs all points together.
    private double[,]? Careful(SideParameters at, double scale, double slope)
    {
        Assemble(at, scale, _a, _g);
        double weights = 0;
        foreach (double r in Residual)
        {
            double t = r / (Cut * scale), u = 1 - t * t;
            if (u > 0) weights += u * u;
        }
        int m = _map.Length;
        double less = Math.Min(1, slope / weights);
        double[,] held = new double[m, m];
        for (int k = 0; k < m; k++)
        {
            for (int l = 0; l < m; l++) held[k, l] = less * _a[k * m + l];
        }
        return Cholesky.Factor(held);
    }

    // Loss, gradient and Gauss-Newton matrix; the prior counts as so many exact observations.
    private double Assemble(SideParameters at, double scale, double[] a, double[] g)
    {
        int m = _map.Length;
        SideModel model = new(at);
        double square = 1 / (scale * scale), full = Cut * Cut / 6;
        Vector256<double> perCut = Vector256.Create(1 / (Cut * scale)), one = Vector256<double>.One, lost = Vector256<double>.Zero, inverse = Vector256.Create(square);
        Array.Clear(_sums);
        for (int from = 0; from < _points.Count; from += Block)
        {
            ReadOnlySpan<double> multiplier = Rows(model, from, out int padded), distance = _columns.AsSpan(SideModel.DistanceColumn * Block, padded);
            Span<double> residual = Residual.AsSpan(from, multiplier.Length), weight = _weight.AsSpan(0, padded);
            for (int i = 0; i < padded; i += Lanes.Width)
            {
                // What fills the last four weighs nothing.
                Vector256<double> p = Lanes.Load(multiplier, i), r = p * Lanes.Full(distance, i), t = r * perCut, u = Vector256.Max(Vector256<double>.Zero, one - t * t);
                Lanes.Store(r, residual, i);
                lost += one - u * u * u;
                Lanes.Put(u * u * p * p * inverse, weight, i);
            }
            CrossProducts.Add(_columns, Block, _chosen, weight, _sums);
        }
        double cost = full * Vector256.Sum(lost);
        for (int k = 0; k < m; k++)
        {
            for (int l = k; l < m; l++) a[k * m + l] = a[l * m + k] = Vector256.Sum(_sums[k * (m + 1) + l]);
            g[k] = Vector256.Sum(_sums[k * (m + 1) + m]);
            (double value, double sd) = _prior[_map[k]];
            if (!double.IsFinite(sd)) continue;
            double off = at.Values[_map[k]] - value;
            a[k * m + k] += 1 / (sd * sd);
            g[k] += off / (sd * sd);
            cost += off * off / (2 * sd * sd);
        }
        return cost;
    }

    // Fills the columns with a block of points; gives back their multipliers.
    private ReadOnlySpan<double> Rows(SideModel model, int from, out int padded)
    {
        int count = Math.Min(Block, _points.Count - from);
        padded = Lanes.Padded(count);
        model.Rows(_points.S.AsSpan(from, count), _points.X.AsSpan(from, count), _points.Y.AsSpan(from, count), _columns, Block);
        return _points.Multiplier.AsSpan(from, count);
    }
}
