using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.GaugeStudy;

/// <summary>A square sum of cell means, and what it is expected to be: a multiple of each variance.</summary>
/// <param name="Value">The square sum.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom of the chi-square it follows nearly: exact in a balanced study, Satterthwaite's otherwise.</param>
/// <param name="Own">Multiple of its own variance: places, inspectors or interaction.</param>
/// <param name="Interaction">Multiple of the variance of the interaction.</param>
/// <param name="Error">Multiple of the variance of repeats.</param>
internal readonly record struct CellForm(double Value, double DegreesOfFreedom, double Own, double Interaction, double Error);

/// <summary>The square sums of a study in which not everybody read everything equally often.</summary>
/// <remarks>
/// Of the unweighted cell means: what places explain beyond inspectors, what inspectors explain beyond places, and what both leave. Each is free of the other grouping's variance, so that
/// components follow one after the other. METHOD.md, eq. 9.
/// </remarks>
internal sealed class CellForms
{
    private CellForms(Matrix<double> part, Matrix<double> op, Matrix<double> interaction, Cell[] cells, int parts, int operators) =>
        (_part, _operator, _interaction, _cells, _parts, _operators) = (part, op, interaction, cells, parts, operators);

    private readonly Matrix<double> _part, _operator, _interaction;
    private readonly Cell[] _cells;
    private readonly int _parts, _operators;

    /// <summary>One cell: which place, which inspector, how many readings and their mean.</summary>
    public readonly record struct Cell(int Part, int Operator, int Count, double Mean);

    /// <summary>Prepares the forms of a study whose places and inspectors all hang together.</summary>
    public static CellForms Of(Cell[] cells, int parts, int operators)
    {
        int n = cells.Length;
        Matrix<double> byPart = Averaging(cells, c => c.Part), byOperator = Averaging(cells, c => c.Operator);
        // What inspectors add to the space of the places; the last one follows from the others.
        Matrix<double> columns = Matrix<double>.Build.Dense(n, operators - 1, (r, c) => cells[r].Operator == c ? 1 : 0);
        Matrix<double> beyond = columns - byPart * columns, both = byPart + beyond * beyond.TransposeThisAndMultiply(beyond).Cholesky().Solve(beyond.Transpose());
        return new(both - byOperator, both - byPart, Matrix<double>.Build.DenseIdentity(n) - both, cells, parts, operators);
    }

    /// <summary>The three square sums alone.</summary>
    public (double Part, double Operator, double Interaction) Values
    {
        get
        {
            Vector<double> y = Vector<double>.Build.Dense(_cells.Length, i => _cells[i].Mean);
            return (y * (_part * y), y * (_operator * y), y * (_interaction * y));
        }
    }

    /// <summary>The three forms, with degrees of freedom for the variances given.</summary>
    public (CellForm Part, CellForm Operator, CellForm Interaction) For(GaugeComponents v)
    {
        int n = _cells.Length;
        Matrix<double> covariance = Matrix<double>.Build.Dense(n, n, (r, c) => (_cells[r].Part == _cells[c].Part ? v.Part : 0) + (_cells[r].Operator == _cells[c].Operator ? v.Operator : 0) + (r == c ? v.Interaction + v.Repeatability / _cells[r].Count : 0));
        Vector<double> y = Vector<double>.Build.Dense(n, i => _cells[i].Mean);
        return (Form(_part, c => c.Part, _parts - 1), Form(_operator, c => c.Operator, _operators - 1), Form(_interaction, null, n - _parts - _operators + 1));

        CellForm Form(Matrix<double> m, Func<Cell, int>? group, int rank)
        {
            Matrix<double> product = m * covariance;
            double mean = product.Trace(), squares = product.PointwiseMultiply(product.Transpose()).RowSums().Sum();
            double own = rank, error = 0;
            for (int r = 0; r < n; r++) error += m[r, r] / _cells[r].Count;
            if (group is not null)
            {
                own = 0;
                for (int r = 0; r < n; r++)
                {
                    for (int c = 0; c < n; c++) own += group(_cells[r]) == group(_cells[c]) ? m[r, c] : 0;
                }
            }
            return new(y * (m * y), mean * mean / squares, own, rank, error);
        }
    }

    /// <summary>Square sum of the interaction by least squares with the number of readings as weight, and its degrees of freedom: over repeats it follows F exactly where there is no interaction.</summary>
    public static VarianceRow WeightedInteraction(Cell[] cells, int parts, int operators)
    {
        double[] weight = new double[parts], mean = new double[parts];
        foreach (Cell c in cells)
        {
            weight[c.Part] += c.Count;
            mean[c.Part] += c.Count * c.Mean;
        }
        double[,] shares = new double[parts, operators];
        foreach (Cell c in cells) shares[c.Part, c.Operator] += c.Count / weight[c.Part];
        for (int p = 0; p < parts; p++) mean[p] /= weight[p];
        // About the weighted mean of its place: readings, and the columns of the inspectors but the last.
        Matrix<double> x = Matrix<double>.Build.Dense(cells.Length, operators - 1, (r, o) => Math.Sqrt(cells[r].Count) * ((cells[r].Operator == o ? 1 : 0) - shares[cells[r].Part, o]));
        Vector<double> y = Vector<double>.Build.Dense(cells.Length, r => Math.Sqrt(cells[r].Count) * (cells[r].Mean - mean[cells[r].Part]));
        Vector<double> left = y - x * x.TransposeThisAndMultiply(x).Cholesky().Solve(x.TransposeThisAndMultiply(y));
        return new(left * left, cells.Length - parts - operators + 1);
    }

    /// <summary>How many lots the places fall into that no inspector links.</summary>
    public static int Lots(Cell[] cells, int parts, int operators)
    {
        int[] lot = [.. Enumerable.Range(0, parts + operators)];
        int Root(int i) => lot[i] == i ? i : lot[i] = Root(lot[i]);
        foreach (Cell c in cells) lot[Root(c.Part)] = Root(parts + c.Operator);
        return Enumerable.Range(0, parts + operators).Select(Root).Distinct().Count();
    }

    private static Matrix<double> Averaging(Cell[] cells, Func<Cell, int> group)
    {
        int[] size = new int[cells.Max(group) + 1];
        foreach (Cell c in cells) size[group(c)]++;
        return Matrix<double>.Build.Dense(cells.Length, cells.Length, (r, c) => group(cells[r]) == group(cells[c]) ? 1.0 / size[group(cells[r])] : 0);
    }
}
