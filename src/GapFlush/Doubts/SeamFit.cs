using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>What a small displacement of the door, one constant on all gaps and one constant on the flushes of each gauge explain of a sheet, robustly.</summary>
/// <remarks>
/// <para>Beside <c>Hanging.DoorDisplacement</c>, which knows no constants: a door that is too large, painted or read with a gauge off zero is a question of the data, not of the hinges.
/// On a flat door a flush constant cannot be told from an in-out shift; its standard error is then large. METHOD.md, eq. 1 and 2.</para>
/// <para>Method: Huber's weights with the scale from the median of the residuals, then Tukey's biweight; normal equations with columns of like size and a ridge of 1e-9, so that what the
/// readings do not fix stays small.</para>
/// </remarks>
internal sealed class SeamFit
{
    private const int Steps = 30;

    /// <summary>Root mean square of shape that good doors have beyond a displacement, mm.</summary>
    private const double ShapeMm = 0.07;

    private readonly double[] _solution;
    private readonly double[,] _factor;
    private readonly string[] _gauges;
    private readonly Door _door;
    private readonly double _size;
    private readonly double _unitScale;

    private SeamFit(Door door, double size, string[] gauges, double[] solution, double[,] factor, IReadOnlyList<SheetPoint> points, double[] residuals, double scale, double unitScale) =>
        (_door, _size, _gauges, _solution, _factor, Points, Residuals, Scale, _unitScale) = (door, size, gauges, solution, factor, points, residuals, scale, unitScale);

    /// <summary>The readings fitted.</summary>
    public IReadOnlyList<SheetPoint> Points { get; }

    /// <summary>What remains of each, mm.</summary>
    public IReadOnlyList<double> Residuals { get; }

    /// <summary>Robust standard deviation of the residuals, mm.</summary>
    public double Scale { get; }

    /// <summary>Root mean square of the residuals, each counted as 1 mm at most, so that one slip does not rule it.</summary>
    public double CappedRms => Math.Sqrt(Residuals.Sum(r => Math.Min(r * r, 1)) / Residuals.Count);

    /// <summary>The constant on all gaps and its standard error, mm.</summary>
    public (double Value, double Error) GapConstant => Constant(6);

    /// <summary>The constant on the flushes of each gauge ("" where none is named), and its standard error, mm.</summary>
    public IEnumerable<(string Gauge, double Value, double Error)> FlushConstants => _gauges.Select((g, i) => (g, Constant(7 + i).Value, Constant(7 + i).Error));

    /// <summary>Fits the gap and flush readings of a door; null where there are too few for it to mean anything.</summary>
    /// <param name="door">The door whose stations the readings are taken to belong to.</param>
    /// <param name="points">Gap and flush readings with targets.</param>
    /// <param name="constants">Whether constants are fitted too.</param>
    public static SeamFit? Of(Door door, IReadOnlyList<SheetPoint> points, bool constants)
    {
        string[] gauges = constants ? [.. points.Where(p => p.Characteristic == Characteristic.Flush).Select(p => p.Reading.Gauge ?? "").Distinct().Order(StringComparer.Ordinal)] : [];
        int columns = constants ? 7 + gauges.Length : 6, n = points.Count;
        if (n < 2 * columns + 4) return null;
        double size = Math.Sqrt(door.Stations.Average(s => Math.Pow(s.Position.DistanceTo(door.Centre), 2)));
        // Counted by their uncertainty, with the usual shape of doors added; 1 for a reading as good as the shape lets it be.
        double[] count = [.. points.Select(p => ShapeMm / Math.Sqrt(ShapeMm * ShapeMm + Math.Pow(p.StandardUncertainty ?? 0, 2)))];
        double[][] rows = [.. points.Select((p, i) => (double[])[.. Row(door, size, gauges, columns, p).Select(v => v * count[i])])];
        double[] y = [.. points.Select((p, i) => p.Deviation * count[i])], x = new double[columns], weights = [.. Enumerable.Repeat(1.0, n)], residuals = y;
        double scale = 0;
        for (int step = 0; step < 2 * Steps; step++)
        {
            (x, _) = Solve(rows, y, weights);
            double[] next = [.. rows.Select((row, i) => y[i] - Dot(row, x))];
            double change = next.Zip(residuals).Max(p => Math.Abs(p.First - p.Second));
            residuals = next;
            bool tukey = step >= Steps;
            if (!tukey) scale = ScaleOf(residuals, columns);
            if (!(scale > 1e-9)) break;
            for (int i = 0; i < n; i++)
            {
                double z = Math.Abs(residuals[i]) / scale;
                weights[i] = tukey ? (z < 4.685 ? Math.Pow(1 - z * z / (4.685 * 4.685), 2) : 0) : (z <= 1.345 ? 1 : 1.345 / z);
            }
            if (step > 0 && change < 1e-3 * scale)
            {
                if (tukey) break;
                step = Math.Max(step, Steps - 1);
            }
        }
        (_, double[,] factor) = Solve(rows, y, [.. Enumerable.Repeat(1.0, n)]);
        return new(door, size, gauges, x, factor, points, [.. residuals.Select((r, i) => r / count[i])], scale / count.Order().ElementAt(n / 2), scale);
    }

    /// <summary>What the fit explains of a reading of this door, mm.</summary>
    public double Explained(SheetPoint point) => Dot(Row(_door, _size, _gauges, _solution.Length, point), _solution);

    private (double Value, double Error) Constant(int column)
    {
        if (column >= _solution.Length) return (0, double.PositiveInfinity);
        double[] unit = new double[_solution.Length];
        unit[column] = 1;
        return (_solution[column], _unitScale * Math.Sqrt(BackSubstituted(_factor, unit)[column]));
    }

    private static double[] Row(Door door, double size, string[] gauges, int columns, SheetPoint p)
    {
        bool gap = p.Characteristic == Characteristic.Gap;
        Vector3 d = gap ? p.Station.IntoDoor : p.Station.Normal, turn = (p.Station.Position - door.Centre).Cross(d) / size;
        double[] row = new double[columns];
        (row[0], row[1], row[2], row[3], row[4], row[5]) = (d.X, d.Y, d.Z, turn.X, turn.Y, turn.Z);
        if (columns > 6 && gap) row[6] = 1;
        if (columns > 6 && !gap && Array.IndexOf(gauges, p.Reading.Gauge ?? "") is int at and >= 0) row[7 + at] = 1;
        return row;
    }

    /// <summary>The weighted normal equations as a Cholesky factor, and their solution.</summary>
    private static (double[] X, double[,] Factor) Solve(double[][] rows, double[] y, double[] weights)
    {
        int m = rows[0].Length;
        double[,] a = new double[m, m];
        double[] b = new double[m];
        for (int k = 0; k < rows.Length; k++)
        {
            double[] row = rows[k];
            for (int i = 0; i < m; i++)
            {
                double w = weights[k] * row[i];
                if (w == 0) continue;
                b[i] += w * y[k];
                for (int j = 0; j <= i; j++) a[i, j] += w * row[j];
            }
        }
        for (int i = 0; i < m; i++)
        {
            a[i, i] += 1e-9 * rows.Length;
            for (int j = 0; j <= i; j++)
            {
                double sum = a[i, j];
                for (int k = 0; k < j; k++) sum -= a[i, k] * a[j, k];
                a[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-12 * rows.Length)) : sum / a[j, j];
            }
        }
        return (BackSubstituted(a, b), a);
    }

    private static double[] BackSubstituted(double[,] factor, double[] right)
    {
        int m = right.Length;
        double[] x = [.. right];
        for (int i = 0; i < m; i++)
        {
            for (int k = 0; k < i; k++) x[i] -= factor[i, k] * x[k];
            x[i] /= factor[i, i];
        }
        for (int i = m - 1; i >= 0; i--)
        {
            for (int k = i + 1; k < m; k++) x[i] -= factor[k, i] * x[k];
            x[i] /= factor[i, i];
        }
        return x;
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    /// <summary>Median of the absolute residuals, leaving out as many of the smallest as there are parameters, as a standard deviation.</summary>
    private static double ScaleOf(double[] residuals, int parameters)
    {
        double[] sizes = [.. residuals.Select(Math.Abs).Order().Skip(parameters - 1)];
        return sizes[sizes.Length / 2] / 0.6745;
    }
}
