using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>How far the passes of a scanner disagree, as far as one side's edges tell.</summary>
/// <remarks>
/// <para>A wall is seen by those passes alone that look into the seam from across it; its edge is seen by others too. A pass that lies off by a little carries its wall with it, and at no station can
/// that be told from an edge radius of another size. All round a door it can: the radius then seems to change with the direction in which the seam is looked into, as no mould's does. What the
/// radius follows of that direction, above what chance would give, is turned into a shift of the wall against its edge. METHOD.md, eq. 41 to 43.</para>
/// <para>It widens the uncertainty and moves nothing: a radius that truly changes round the door looks the same.</para>
/// </remarks>
/// <param name="SdMm">Standard deviation of the shift over the side, mm.</param>
/// <param name="ShiftMm">The shift at each station, mm; 0 where it is not told.</param>
/// <param name="IsAssumed">True where the stations do not tell and a usual value stands in.</param>
internal sealed record PassDisagreement(double SdMm, double[] ShiftMm, bool IsAssumed)
{
    /// <summary>What stands in where the stations do not tell, mm. Common practice, no source: passes of a hand-held scanner that are laid on one another by their own overlap agree to about this.</summary>
    public const double UsualMm = 0.005;

    private const int LeastStations = 8;
    // Directions span a plane where the second largest spread of their components is at least this.
    private const double LeastSpread = 0.05;

    /// <summary>None at all: a side without walls.</summary>
    public static PassDisagreement None { get; } = new(0, [], false);

    /// <summary>The shift of the wall at a station for which uncertainty is to be stated, mm.</summary>
    public double At(int station) => Math.Max(SdMm, station < ShiftMm.Length ? Math.Abs(ShiftMm[station]) : 0);

    /// <summary>What the stations of one side tell.</summary>
    /// <param name="fits">The fits of the side; null where there is none.</param>
    /// <param name="directions">Into the door, at each station.</param>
    public static PassDisagreement Of(IReadOnlyList<SideFit?> fits, IReadOnlyList<Vector3> directions)
    {
        int[] walled = [.. Enumerable.Range(0, fits.Count).Where(i => fits[i] is { WallCount: >= 50, WallMm: > 0 } fit && Math.Abs(fit.WallShift[SideParameters.Break1]) > 0.05)];
        if (walled.Length == 0) return None;
        if (walled.Length < LeastStations || Spread([.. walled.Select(i => directions[i])]) < LeastSpread) return new(UsualMm, [], true);
        double[] y = [.. walled.Select(i => fits[i]!.Parameters.Values[SideParameters.Break1])], w = new double[y.Length];
        Array.Fill(w, 1);
        double[] h = [];
        double[,] inverse = new double[4, 4];
        double scatter = 0;
        for (int pass = 0; pass < 5; pass++)
        {
            double[,] a = new double[4, 4];
            double[] g = new double[4];
            for (int k = 0; k < y.Length; k++)
            {
                double[] row = Row(directions[walled[k]]);
                for (int p = 0; p < 4; p++)
                {
                    g[p] += w[k] * row[p] * y[k];
                    for (int q = 0; q < 4; q++) a[p, q] += w[k] * row[p] * row[q];
                }
            }
            // Where the stations look in no third direction nothing is asked of it.
            for (int p = 1; p < 4; p++) a[p, p] += 0.01;
            if (Cholesky.Factor(a) is not double[,] factor) return new(UsualMm, [], true);
            (h, inverse) = (Cholesky.Solve(factor, g), Cholesky.Inverse(factor));
            double[] off = [.. walled.Select((i, k) => y[k] - Dot(Row(directions[i]), h))];
            double[] sizes = [.. off.Select(Math.Abs).Order()];
            // Four parameters were spent.
            scatter = sizes[sizes.Length / 2] / RobustWeights.NormalMedian * Math.Sqrt(y.Length / (y.Length - 4.0));
            for (int k = 0; k < w.Length; k++) w[k] = Math.Abs(off[k]) < 3.5 * scatter ? 1 : 0;
        }
        double[] shift = new double[fits.Count];
        double sum = 0;
        foreach (int i in walled)
        {
            double[] row = Row(directions[i]);
            row[0] = 0;
            double toShift = 1 / fits[i]!.WallShift[SideParameters.Break1];
            shift[i] = toShift * Dot(row, h);
            sum += shift[i] * shift[i] - toShift * toShift * scatter * scatter * Cholesky.Quadratic(inverse, row);
        }
        double told = Math.Sqrt(Math.Max(0, sum / walled.Length)), seen = Math.Sqrt(shift.Sum(v => v * v) / walled.Length);
        // No more of a station's own shift is believed than of all. An edge that two passes see lies midway between them: what its wall is off by is twice as much in variance.
        double own = told > 0 ? Math.Sqrt(2) * told / seen : 0;
        return new(Math.Sqrt(2) * told, [.. shift.Select(v => own * v)], false);
    }

    /// <summary>How much two sides' shifts go together all round, 0 to 1: two passes that look into the seam from either side carry both walls towards the gap or both away from it.</summary>
    public double InStepWith(PassDisagreement other)
    {
        double product = 0, own = 0, others = 0;
        for (int i = 0; i < Math.Min(ShiftMm.Length, other.ShiftMm.Length); i++)
            (product, own, others) = (product + ShiftMm[i] * other.ShiftMm[i], own + ShiftMm[i] * ShiftMm[i], others + other.ShiftMm[i] * other.ShiftMm[i]);
        return own > 0 && others > 0 ? Math.Clamp(product / Math.Sqrt(own * others), 0, 1) : 0;
    }

    private static double[] Row(Vector3 d) => [1, d.X, d.Y, d.Z];

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    // The second largest variance among the directions' components: a seam that closes has two, a straight stretch has one at most.
    private static double Spread(Vector3[] directions)
    {
        Vector3 mean = 1.0 / directions.Length * directions.Aggregate(default(Vector3), (a, b) => a + b);
        double[] variances = [directions.Average(d => (d.X - mean.X) * (d.X - mean.X)), directions.Average(d => (d.Y - mean.Y) * (d.Y - mean.Y)), directions.Average(d => (d.Z - mean.Z) * (d.Z - mean.Z))];
        return variances.Order().ElementAt(1);
    }
}
