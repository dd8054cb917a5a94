using GapFlush.Numerics;
using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Statistics;

/// <summary>Variance between groups, between parts of a group, and within a part, by restricted maximum likelihood: doors of an aircraft, say.</summary>
/// <remarks>
/// <para>Method: Fisher scoring on the restricted likelihood, group by group; a component that runs into zero stays there.</para>
/// <para>No answer (null): fewer than two groups, no part with two values, or no convergence in 500 steps.</para>
/// <para>Accuracy: the `variance_components_nested` reference group (StatisticsReferenceTests).</para>
/// </remarks>
/// <param name="Group">Variance between groups.</param>
/// <param name="Nested">Variance between parts of a group.</param>
/// <param name="Within">Variance within a part.</param>
/// <param name="Mean">Generalised mean.</param>
/// <param name="MeanStandardError">Standard error of the mean.</param>
/// <param name="Deviance">Minus twice the restricted log likelihood.</param>
public sealed record NestedVarianceComponents(double Group, double Nested, double Within, double Mean, double MeanStandardError, double Deviance)
{
    /// <summary>Fits values with the name of their group and of their part.</summary>
    public static NestedVarianceComponents? Fit(IReadOnlyList<(string Group, string Part, double Value)> rows)
    {
        List<Block> blocks = [.. rows.GroupBy(r => r.Group).Select(g => new Block([.. g]))];
        if (blocks.Count < 2 || rows.GroupBy(r => (r.Group, r.Part)).All(p => p.Count() == 1)) return null;
        SampleSummary all = new([.. rows.Select(r => r.Value)]);
        if (!(all.Variance > 0)) return null;
        double[] theta = [all.Variance / 3, all.Variance / 3, all.Variance / 3];
        bool[] free = [true, true, true];
        State now = Evaluate(blocks, theta, rows.Count);
        for (int step = 0; step < 500; step++)
        {
            int[] active = [.. Enumerable.Range(0, 3).Where(i => free[i])];
            Matrix<double> information = Matrix<double>.Build.Dense(active.Length, active.Length, (i, j) => now.Information[active[i], active[j]]);
            Vector<double> move = information.Solve(Vector<double>.Build.Dense(active.Length, i => now.Score[active[i]]));
            if (move.Any(v => !double.IsFinite(v))) return null;
            bool settled = active.Select((k, i) => Math.Abs(move[i]) <= 1e-13 * Math.Abs(theta[k]) || (Math.Abs(move[i]) <= 1e-15 * all.Variance)).All(v => v);
            double[] next = theta;
            State after = now;
            for (double share = 1; share > 1e-9; share /= 2)
            {
                next = [.. theta];
                for (int i = 0; i < active.Length; i++) next[active[i]] = Math.Max(theta[active[i]] / 10, theta[active[i]] + share * move[i]);
                after = Evaluate(blocks, next, rows.Count);
                if (after.Deviance <= now.Deviance + 1e-9 * Math.Abs(now.Deviance)) break;
            }
            (theta, now) = (next, after);
            for (int i = 0; i < 2; i++)
            {
                if (free[i] && theta[i] < 1e-9 * all.Variance && now.Score[i] < 0)
                {
                    (theta[i], free[i]) = (0, false);
                    now = Evaluate(blocks, theta, rows.Count);
                    settled = false;
                }
            }
            if (settled) return new(theta[0], theta[1], theta[2], now.Mean, now.MeanError, now.Deviance);
        }
        return null;
    }

    private sealed record State(double Deviance, double[] Score, double[,] Information, double Mean, double MeanError);

    private sealed class Block
    {
        public Block((string Group, string Part, double Value)[] rows)
        {
            int n = rows.Length;
            Y = Vector<double>.Build.Dense([.. rows.Select(r => r.Value)]);
            One = Vector<double>.Build.Dense(n, 1);
            Shapes = [Matrix<double>.Build.Dense(n, n, 1), Matrix<double>.Build.Dense(n, n, (i, j) => rows[i].Part == rows[j].Part ? 1 : 0), Matrix<double>.Build.DenseIdentity(n)];
        }

        public Vector<double> Y { get; }

        public Vector<double> One { get; }

        public Matrix<double>[] Shapes { get; }
    }

    private static State Evaluate(List<Block> blocks, double[] theta, int count)
    {
        double logDet = 0, w = 0, wy = 0;
        List<(Block Block, Matrix<double> Inverse, Vector<double> Row)> solved = [];
        foreach (Block b in blocks)
        {
            MathNet.Numerics.LinearAlgebra.Factorization.Cholesky<double> factor = (b.Shapes[0] * theta[0] + b.Shapes[1] * theta[1] + b.Shapes[2] * theta[2]).Cholesky();
            Matrix<double> inverse = factor.Solve(b.Shapes[2]);
            Vector<double> row = inverse * b.One;
            logDet += factor.DeterminantLn;
            w += row.Sum();
            wy += row * b.Y;
            solved.Add((b, inverse, row));
        }
        double mean = wy / w, quadratic = 0;
        double[] score = new double[3], traces = new double[3], ones = new double[3];
        double[,] information = new double[3, 3], crossOnes = new double[3, 3];
        foreach ((Block b, Matrix<double> inverse, Vector<double> row) in solved)
        {
            Vector<double> e = b.Y - mean * b.One, pe = inverse * e;
            quadratic += e * pe;
            Matrix<double>[] products = [.. b.Shapes.Select(k => inverse * k)];
            for (int i = 0; i < 3; i++)
            {
                traces[i] += products[i].Trace();
                ones[i] += row * (b.Shapes[i] * row);
                score[i] += 0.5 * (pe * (b.Shapes[i] * pe));
                for (int j = 0; j < 3; j++)
                {
                    information[i, j] += 0.5 * products[i].PointwiseMultiply(products[j].Transpose()).RowSums().Sum();
                    crossOnes[i, j] += (b.Shapes[i] * row) * (inverse * (b.Shapes[j] * row));
                }
            }
        }
        for (int i = 0; i < 3; i++)
        {
            score[i] -= 0.5 * (traces[i] - ones[i] / w);
            for (int j = 0; j < 3; j++) information[i, j] += 0.5 * (-2 * crossOnes[i, j] / w + ones[i] * ones[j] / (w * w));
        }
        return new(logDet + Math.Log(w) + quadratic + (count - 1) * 2 * GammaFunctions.HalfLogTwoPi, score, information, mean, 1 / Math.Sqrt(w));
    }
}
