using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>Rows of one kind (edges, or skin) under one supposition of how their errors hang together, gathered to what least squares need.</summary>
/// <remarks>
/// <para>A row's error is noise of its own and form that neighbours share, r times as large in variance. Form without a wavelength: correlation m = (1 + q) exp(-q), q = sqrt(3) distance / length, from
/// 20 to 640 mm. Form with one, from 100 to 800 mm: sin(z)/z times m, z = 2 pi distance / wavelength, the length once or three times the wavelength. METHOD.md, eq. 13.</para>
/// <para>Source: B. Matérn, Spatial Variation (1960) [from memory].</para>
/// </remarks>
internal sealed class FormSupposition
{
    /// <summary>Movements.</summary>
    public const int Count = 6;

    // As many places of a kind as show waves of a tenth of a door; more would cost time and say the same.
    private const int MostRows = 80;

    private const double LeastWeight = 0.05;

    private static readonly double[] LengthsMm = [20, 40, 80, 160, 320, 640], WavesMm = [100, 150, 200, 260, 340, 450, 600, 800], Ratios = [3, 30, 300];

    /// <summary>value + J x = residual at a place, its own variance inversely as the weight.</summary>
    /// <remarks>A class: the framework holds its collections ready for those, and has to compile them at every start for structures of our own.</remarks>
    internal sealed record Row(Vector3 At, double[] J, double Value, double Weight);

    /// <summary>A kind that there is nothing of.</summary>
    public static FormSupposition Nothing { get; } = new() { IsBroad = true };

    /// <summary>True for form without a wavelength.</summary>
    public bool IsBroad { get; private init; }

    /// <summary>Rows, close ones taken together.</summary>
    public int Rows { get; private init; }

    /// <summary>J' V^-1 J, a row's own variance taken as 1.</summary>
    public double[,] A { get; } = new double[Count, Count];

    /// <summary>J' V^-1 y.</summary>
    public double[] B { get; } = new double[Count];

    /// <summary>y' V^-1 y.</summary>
    public double C { get; private init; }

    /// <summary>Logarithm of the determinant of V.</summary>
    public double LogDet { get; private init; }

    /// <summary>J' W V W J, W the weights.</summary>
    public double[,] Meat { get; } = new double[Count, Count];

    /// <summary>As many rows without shared form would hold a mean as surely.</summary>
    public double Pieces { get; private init; }

    /// <summary>All suppositions, that of no shared form first; none where there are no rows.</summary>
    public static FormSupposition[] Of(IReadOnlyList<Row> rows)
    {
        Row[] few = Merged([.. rows.Where(r => r.Weight > LeastWeight)]);
        if (few.Length == 0) return [];
        int broad = LengthsMm.Length;
        FormSupposition?[][] found = new FormSupposition?[broad + 2 * WavesMm.Length][];
        Parallel.For(0, found.Length, k =>
        {
            double wave = k < broad ? 0 : WavesMm[(k - broad) / 2];
            found[k] = Of(few, k < broad ? LengthsMm[k] : (k - broad) % 2 == 0 ? wave : 3 * wave, wave);
        });
        return [.. Of(few, 1, 0, [0]).Concat(found.SelectMany(f => f)).OfType<FormSupposition>()];
    }

    // Rows that lie close together as one, until there are few enough.
    private static Row[] Merged(Row[] rows)
    {
        for (double cell = 25; rows.Length > MostRows; cell *= 1.3)
        {
            PlaceIndex cells = new();
            List<List<Row>> held = [];
            foreach (Row r in rows)
            {
                int at = cells.Of((int)Math.Floor(r.At.X / cell), (int)Math.Floor(r.At.Y / cell), (int)Math.Floor(r.At.Z / cell));
                if (at == held.Count) held.Add([]);
                held[at].Add(r);
            }
            int[] order = cells.InOrder();
            rows = new Row[order.Length];
            for (int i = 0; i < rows.Length; i++) rows[i] = Together(held[order[i]]);
        }
        return rows;
    }

    private static Row Together(List<Row> rows)
    {
        double w = 0, value = 0;
        foreach (Row r in rows) (w, value) = (w + r.Weight, value + r.Weight * r.Value);
        double[] j = new double[Count];
        Vector3 at = default;
        foreach (Row r in rows)
        {
            at += r.Weight / w * r.At;
            for (int i = 0; i < Count; i++) j[i] += r.Weight / w * r.J[i];
        }
        return new(at, j, value / w, w);
    }

    private static FormSupposition?[] Of(Row[] rows, double length, double wave, double[]? ratios = null)
    {
        int n = rows.Length;
        double[] shared = new double[n * n];
        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k <= i; k++)
            {
                double distance = (rows[i].At - rows[k].At).Length, q = Math.Sqrt(3) * distance / length, z = wave > 0 ? 2 * Math.PI * distance / wave : 0;
                shared[i * n + k] = (1 + q) * Math.Exp(-q) * (z > 1e-6 ? Math.Sin(z) / z : 1);
            }
        }
        // The ratio is to the noise of a usual row.
        double usual = rows.Average(r => r.Weight);
        return [.. (ratios ?? Ratios).Select(ratio => Of(rows, shared, ratio / usual, usual, wave == 0))];
    }

    private static FormSupposition? Of(Row[] rows, double[] shared, double ratio, double usual, bool isBroad)
    {
        const int Columns = Count + 2;
        int n = rows.Length;
        double[] v = new double[n * n];
        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k <= i; k++) v[i * n + k] = ratio * shared[i * n + k];
            v[i * n + i] += 1 / rows[i].Weight;
        }
        if (!Cholesky.Factor(v, n)) return null;
        // L^-1 of the columns of J, of y, and of ones; and L' W J.
        double[][] half = [.. Enumerable.Range(0, Columns).Select(_ => new double[n])], back = [.. Enumerable.Range(0, Count).Select(_ => new double[n])];
        double log = 0;
        for (int i = 0; i < n; i++)
        {
            ReadOnlySpan<double> row = v.AsSpan(i * n, i);
            double pivot = v[i * n + i];
            log += 2 * Math.Log(pivot);
            for (int c = 0; c < Columns; c++)
            {
                double x = c < Count ? rows[i].J[c] : c == Count ? rows[i].Value : 1;
                double[] column = half[c];
                for (int k = 0; k < row.Length; k++) x -= row[k] * column[k];
                column[i] = x / pivot;
            }
            for (int c = 0; c < Count; c++)
            {
                double wj = rows[i].Weight * rows[i].J[c];
                double[] column = back[c];
                for (int k = 0; k < row.Length; k++) column[k] += row[k] * wj;
                column[i] += pivot * wj;
            }
        }
        FormSupposition made = new()
        {
            IsBroad = isBroad,
            Rows = n,
            C = Product(half[Count], half[Count]),
            LogDet = log,
            Pieces = (ratio + 1 / usual) * Product(half[Count + 1], half[Count + 1]),
        };
        for (int i = 0; i < Count; i++)
        {
            made.B[i] = Product(half[i], half[Count]);
            for (int k = 0; k <= i; k++)
            {
                made.A[i, k] = made.A[k, i] = Product(half[i], half[k]);
                made.Meat[i, k] = made.Meat[k, i] = Product(back[i], back[k]);
            }
        }
        return made;

        static double Product(double[] p, double[] q)
        {
            double sum = 0;
            for (int k = 0; k < p.Length; k++) sum += p[k] * q[k];
            return sum;
        }
    }
}
