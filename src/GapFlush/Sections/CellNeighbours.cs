namespace GapFlush.Sections;

/// <summary>What neighbouring cells of a fit share: noise that points have in common over a millimetre or so, and unevenness that no smooth outline follows.</summary>
/// <remarks>
/// <para>Cells that err together tell less than as many that err each by itself. How much they share is told by the mean product of the residuals of neighbours, over all stations of a side, after
/// what the fit itself makes of it is taken out; it widens the covariance and moves nothing. METHOD.md, eq. 45.</para>
/// <para>Source: covariance of a least-squares estimate under correlated errors, F. A. Graybill, Theory and Application of the Linear Model (1976), section 6.8 [from memory].</para>
/// </remarks>
internal static class CellNeighbours
{
    /// <summary>Kinds of pairs: three distances across the seam and the next stretch along it, of skin with skin, then of all others.</summary>
    public const int Kinds = 8;

    // Cells beyond so many standard deviations have next to no say in the fit: tape, a fastener.
    private const double Most = 3;

    private static readonly double[] AcrossMm = [0.6, 1.2, 2.5];

    /// <summary>Sums over the pairs of one fit.</summary>
    /// <param name="cells">The cells.</param>
    /// <param name="rows">Their weighted derivatives, row by row.</param>
    /// <param name="residual">Their residuals in standard deviations.</param>
    /// <param name="covariance">Of the free parameters.</param>
    /// <returns>For each kind the sum of products, then for each kind the number of pairs, then sum and number of squares.</returns>
    public static double[] Sums(SideCells cells, double[] rows, double[] residual, double[,] covariance)
    {
        int m = covariance.GetLength(0);
        double[] spread = Times(rows, covariance, m), sums = new double[2 * Kinds + 2];
        for (int i = 0; i < residual.Length; i++)
        {
            if (Math.Abs(residual[i]) > Most) continue;
            sums[2 * Kinds] += residual[i] * residual[i] + Dot(spread, rows, i, i, m);
            sums[2 * Kinds + 1]++;
        }
        foreach ((int i, int j, int kind) in Pairs(cells))
        {
            if (Math.Abs(residual[i]) > Most || Math.Abs(residual[j]) > Most) continue;
            // The fit follows part of what it should leave: independent residuals have this covariance, with the sign turned.
            sums[kind] += residual[i] * residual[j] + Dot(spread, rows, i, j, m);
            sums[Kinds + kind]++;
        }
        return sums;
    }

    /// <summary>The correlations that the fits of a side tell together; none below nought.</summary>
    public static double[] Correlation(IEnumerable<double[]> sums)
    {
        double[] all = new double[2 * Kinds + 2];
        foreach (double[] one in sums) for (int k = 0; k < all.Length; k++) all[k] += one[k];
        double square = all[2 * Kinds + 1] > 0 ? all[2 * Kinds] / all[2 * Kinds + 1] : 1;
        // Of fewer pairs there is no telling.
        double[] found = [.. Enumerable.Range(0, Kinds).Select(k => all[Kinds + k] < 200 ? 0 : Math.Clamp(all[k] / all[Kinds + k] / square, 0, 0.9))];
        // An edge that sways along the run faster than a parabola takes edge and wall with it as one, to and fro: of what near neighbours share that is no noise, and over the run it evens out.
        double sway = found[Kinds / 2 + AcrossMm.Length - 1];
        for (int k = Kinds / 2; k < Kinds; k++) found[k] = k < Kinds / 2 + AcrossMm.Length - 1 ? Math.Max(0, found[k] - sway) : 0;
        return found;
    }

    /// <summary>What the shared part adds to the covariance of the free parameters.</summary>
    /// <param name="cells">The cells.</param>
    /// <param name="rows">Their weighted derivatives, row by row.</param>
    /// <param name="covariance">Of the free parameters, as of cells that err each by itself.</param>
    /// <param name="correlation">By kind of pair.</param>
    public static double[,] Added(SideCells cells, double[] rows, double[,] covariance, double[] correlation)
    {
        int m = covariance.GetLength(0);
        double[] spread = Times(rows, covariance, m);
        double[,] added = new double[m, m];
        foreach ((int i, int j, int kind) in Pairs(cells))
        {
            double share = correlation[kind];
            if (share == 0) continue;
            for (int k = 0; k < m; k++)
            {
                double a = share * spread[i * m + k], b = share * spread[j * m + k];
                for (int l = 0; l <= k; l++) added[k, l] += a * spread[j * m + l] + b * spread[i * m + l];
            }
        }
        for (int k = 0; k < m; k++) for (int l = 0; l < k; l++) added[l, k] = added[k, l];
        return added;
    }

    private static IEnumerable<(int I, int J, int Kind)> Pairs(SideCells cells)
    {
        double most = AcrossMm[^1] * AcrossMm[^1];
        for (int i = 0; i < cells.Count; i++)
        {
            int kinds = 0;
            for (int j = i + 1; j < cells.Count && cells.Run[j] <= cells.Run[i] + 1; j++)
            {
                if (cells.Run[j] == cells.Run[i])
                {
                    double x = cells.X[j] - cells.X[i], y = cells.Y[j] - cells.Y[i], square = x * x + y * y;
                    if (square > most) continue;
                    kinds = 0;
                    while (square > AcrossMm[kinds] * AcrossMm[kinds]) kinds++;
                }
                else if (cells.Place[j] == cells.Place[i]) kinds = AcrossMm.Length;
                else continue;
                yield return (i, j, (cells.Kind[i] == PieceKind.Skin && cells.Kind[j] == PieceKind.Skin ? 0 : Kinds / 2) + kinds);
            }
        }
    }

    private static double[] Times(double[] rows, double[,] matrix, int m)
    {
        double[] result = new double[rows.Length];
        for (int at = 0; at < rows.Length; at += m)
        {
            for (int k = 0; k < m; k++)
            {
                double sum = 0;
                for (int l = 0; l < m; l++) sum += matrix[k, l] * rows[at + l];
                result[at + k] = sum;
            }
        }
        return result;
    }

    private static double Dot(double[] a, double[] b, int i, int j, int m)
    {
        double sum = 0;
        for (int k = 0; k < m; k++) sum += a[i * m + k] * b[j * m + k];
        return sum;
    }
}
