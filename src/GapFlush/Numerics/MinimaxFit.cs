namespace GapFlush.Numerics;

/// <summary>The linear combination of columns whose largest residual is as small as can be: the Chebyshev fit.</summary>
/// <remarks>
/// <para>Method: exchange of a reference of rank + 1 rows (the simplex method on the dual linear programme), each reference solved afresh from
/// the data so that no rounding piles up; on a stall the smallest index enters and leaves (Bland), so that it cannot go round in circles.
/// The answer is exact up to rounding and is proven by its own reference: the multipliers are not negative, and no residual exceeds the level.</para>
/// <para>Where columns depend on one another the shortest of the equal solutions is given. Where several solutions have the same largest residual
/// the shortest along the edges that leave the one found is given.</para>
/// <para>Source: E. Stiefel, Numer. Math. 1 (1959) 1; R. G. Bland, Math. Oper. Res. 2 (1977) 103 [both from memory].</para>
/// </remarks>
public sealed class MinimaxFit
{
    private MinimaxFit(double[] solution, double largest, IReadOnlyList<(int, int)> active, int exchanges) =>
        (Solution, LargestResidual, Active, Exchanges) = (solution, largest, active, exchanges);

    /// <summary>One number a column.</summary>
    public IReadOnlyList<double> Solution { get; }

    /// <summary>The largest absolute residual.</summary>
    public double LargestResidual { get; }

    /// <summary>The rows that rule the answer (rank + 1 of them, unless the answer is not the only one), with the sign of their residual, positive ones first,
    /// each in row order.</summary>
    public IReadOnlyList<(int Row, int Sign)> Active { get; }

    /// <summary>Exchanges made.</summary>
    public int Exchanges { get; }

    /// <summary>Fits <paramref name="target"/> by the columns of <paramref name="matrix"/>.</summary>
    /// <param name="matrix">Shape (rows, columns); scale the columns to like size.</param>
    /// <param name="target">One number a row.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a direction counts as not there.</param>
    /// <returns>Null where the exchange did not end within 10 000 steps.</returns>
    /// <exception cref="ArgumentException">The shapes do not match, or there is no row.</exception>
    public static MinimaxFit? Solve(double[,] matrix, IReadOnlyList<double> target, double rankTolerance = 1e-12)
    {
        int m = matrix.GetLength(0);
        if (m == 0 || target.Count != m) throw new ArgumentException($"The matrix has {m} rows and the target {target.Count}; both must agree and be at least 1.", nameof(target));
        double[] b = [.. target];
        ThinSvd svd = ThinSvd.Of(matrix);
        int r = svd.Rank(rankTolerance);
        if (r == m) return new MinimaxFit(svd.Solve(b, r), 0, [], 0);

        // Orthonormal columns: every reference is then as well conditioned as its rows allow.
        double[][] u = new double[m][];
        for (int i = 0; i < m; i++)
        {
            u[i] = new double[r];
            for (int k = 0; k < r; k++) u[i][k] = svd.Left(k)[i];
        }
        double tolerance = 1e-13 * Math.Max(b.Max(Math.Abs), double.Epsilon);
        List<(int Row, int Sign)> reference = Start(u, b, r);
        double level = double.NegativeInfinity;
        int stalled = 0;
        for (int exchange = 0; exchange < 10_000; exchange++)
        {
            List<(int Row, int Sign)> now = reference;
            // Rows: the equations sign (u·y) + e = sign b of the reference. Its columns hold what the multipliers must balance.
            SmallSystem basis = new(r + 1, (i, j) => j < r ? now[i].Sign * u[now[i].Row][j] : 1);
            double[] solution = basis.Solve(j => now[j].Sign * b[now[j].Row]);
            double e = solution[r];
            stalled = e > level + tolerance ? 0 : stalled + 1;
            level = Math.Max(level, e);
            bool bland = stalled > 2 * (r + 1);

            (int Row, int Sign)? entering = null;
            double worst = tolerance;
            for (int i = 0; i < m; i++)
            {
                double residual = b[i];
                for (int k = 0; k < r; k++) residual -= u[i][k] * solution[k];
                if (Math.Abs(residual) - e <= worst) continue;
                if (reference.Contains((i, Math.Sign(residual)))) continue;   // its residual is the level; what exceeds it is rounding
                entering = (i, Math.Sign(residual));
                if (bland) break;
                worst = Math.Abs(residual) - e;
            }
            if (entering is not (int Row, int Sign) enter)
            {
                double[] vertex = [.. solution.Take(r)], y = Shortest(u, b, svd, basis, vertex, e);
                if (!ReferenceEquals(y, vertex)) reference = AtLevel(u, b, y, e);
                double[] x = new double[matrix.GetLength(1)];
                for (int k = 0; k < r; k++)
                    for (int j = 0; j < x.Length; j++) x[j] += y[k] / svd.Values[k] * svd.Right(k)[j];
                return new MinimaxFit(x, e, [.. reference.OrderByDescending(a => a.Sign).ThenBy(a => a.Row)], exchange);
            }
            double[] direction = basis.SolveTransposed(i => i < r ? enter.Sign * u[enter.Row][i] : 1);
            double[] multipliers = basis.SolveTransposed(i => i < r ? 0 : 1);
            int leaving = -1;
            double least = double.PositiveInfinity;
            for (int j = 0; j <= r; j++)
            {
                if (direction[j] <= 1e-11) continue;
                double ratio = Math.Max(0, multipliers[j]) / direction[j];
                bool tie = leaving >= 0 && Math.Abs(ratio - least) <= 1e-14;
                if (tie ? (bland ? Order(reference[j]) < Order(reference[leaving]) : direction[j] > direction[leaving]) : ratio < least) (leaving, least) = (j, ratio);
            }
            if (leaving < 0) return null;
            reference[leaving] = enter;
        }
        return null;

        static int Order((int Row, int Sign) entry) => 2 * entry.Row + (entry.Sign > 0 ? 0 : 1);
    }

    // A row of the reference whose multiplier is nought may be let go without raising the level: then a whole edge of answers is equally good, and
    // along it the shortest is taken. (Seen on a check case where a door may slide 0.008 mm with the same worst residual.)
    private static double[] Shortest(double[][] u, double[] b, ThinSvd svd, SmallSystem basis, double[] y, double e)
    {
        int r = y.Length;
        double[] multipliers = basis.SolveTransposed(i => i < r ? 0 : 1);
        for (int j = 0; j <= r; j++)
        {
            if (multipliers[j] > 1e-10) continue;
            int free = j;
            double[] along = basis.Solve(i => i == free ? 1 : 0);
            double longest = double.PositiveInfinity;
            for (int i = 0; i < u.Length; i++)
            {
                double residual = b[i], change = 0;
                for (int k = 0; k < r; k++) (residual, change) = (residual - u[i][k] * y[k], change - u[i][k] * along[k]);
                if (Math.Abs(change) > 1e-12) longest = Math.Min(longest, Math.Max(0, e - Math.Sign(change) * residual) / Math.Abs(change));
            }
            double dot = 0, square = 0;
            for (int k = 0; k < r; k++) (dot, square) = (dot + y[k] * along[k] / (svd.Values[k] * svd.Values[k]), square + along[k] * along[k] / (svd.Values[k] * svd.Values[k]));
            double step = square > 0 ? Math.Clamp(-dot / square, 0, longest) : 0;
            if (step <= 0 || !double.IsFinite(step)) continue;
            y = [.. y.Select((v, k) => v + step * along[k])];
        }
        return y;
    }

    private static List<(int Row, int Sign)> AtLevel(double[][] u, double[] b, double[] y, double e)
    {
        List<(int Row, int Sign)> rows = [];
        for (int i = 0; i < u.Length; i++)
        {
            double residual = b[i];
            for (int k = 0; k < y.Length; k++) residual -= u[i][k] * y[k];
            if (Math.Abs(residual) >= e * (1 - 1e-10)) rows.Add((i, Math.Sign(residual)));
        }
        return rows;
    }

    // Rows that span the column space, by elimination with complete pivoting, and one more: with signs chosen to suit, the multipliers of
    // these rank + 1 rows are not negative, so they are a valid first reference whatever the data.
    private static List<(int Row, int Sign)> Start(double[][] u, double[] b, int r)
    {
        int m = u.Length;
        double[][] work = [.. u.Select(row => (double[])row.Clone())];
        List<int> chosen = [];
        List<int> columns = [.. Enumerable.Range(0, r)];
        for (int step = 0; step < r; step++)
        {
            (int pi, int pj, double best) = (-1, -1, -1);
            for (int i = 0; i < m; i++)
            {
                if (chosen.Contains(i)) continue;
                foreach (int j in columns)
                    if (Math.Abs(work[i][j]) > best) (pi, pj, best) = (i, j, Math.Abs(work[i][j]));
            }
            // Eliminate column pj from all other columns, so that rows depending on those chosen become zero in what is left.
            foreach (int j in columns.Where(j => j != pj))
            {
                double factor = work[pi][j] / work[pi][pj];
                for (int i = 0; i < m; i++) work[i][j] -= factor * work[i][pj];
            }
            chosen.Add(pi);
            columns.Remove(pj);
        }
        int extra = Enumerable.Range(0, m).Where(i => !chosen.Contains(i)).MaxBy(i => Math.Abs(b[i]));
        // sum of c_j u_j = -u_extra: signs of c make every multiplier |c_j|.
        double[] c = new SmallSystem(r, (i, j) => u[chosen[j]][i]).Solve(i => -u[extra][i]);
        double value = b[extra] + Enumerable.Range(0, r).Sum(j => c[j] * b[chosen[j]]);
        int sign = value >= 0 ? 1 : -1;   // so that the first level is not negative
        return [(extra, sign), .. Enumerable.Range(0, r).Select(j => (chosen[j], c[j] >= 0 ? sign : -sign))];
    }
}
