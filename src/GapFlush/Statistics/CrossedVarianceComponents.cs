using GapFlush.Numerics;
using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Statistics;

/// <summary>Two crossed groupings, both random, with their interaction, by restricted maximum likelihood; numbers of values equal or not, cells missing or not.</summary>
/// <remarks>
/// <para>Model: value = mean + first + second + interaction + error, all independent and normal. The cell means and the squares within the cells say all there is.</para>
/// <para>Method: Fisher scoring on the restricted likelihood of the cell means, the squares within cells beside them. A component that runs into zero stays there; at the end its slope must
/// say so, or it is let go again.</para>
/// <para>No answer (null): fewer than two of either grouping, no cell with two values, no spread within the cells, or no convergence in 500 steps.</para>
/// <para>Accuracy: agrees with the balanced analysis of variance to 1e-8 where no component is negative; elsewhere with a search of the likelihood written out in full
/// (CrossedVarianceComponentsTests).</para>
/// <para>Source: S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992), chapter 6 [from memory].</para>
/// </remarks>
/// <param name="First">Variance of the first grouping.</param>
/// <param name="Second">Variance of the second grouping.</param>
/// <param name="Interaction">Variance of the interaction.</param>
/// <param name="Within">Variance within a cell.</param>
/// <param name="Mean">Generalised mean.</param>
/// <param name="MeanStandardError">Standard error of the mean.</param>
/// <param name="Deviance">Minus twice the restricted log likelihood of the values.</param>
public sealed record CrossedVarianceComponents(double First, double Second, double Interaction, double Within, double Mean, double MeanStandardError, double Deviance)
{
    private const int MostSteps = 500;

    /// <summary>Fits values with the names of their two groups.</summary>
    /// <param name="rows">The values.</param>
    /// <param name="interaction">False to leave the interaction out: it is then part of the error.</param>
    public static CrossedVarianceComponents? Fit(IReadOnlyList<(string First, string Second, double Value)> rows, bool interaction = true)
    {
        if (rows.Select(r => r.First).Distinct().Count() < 2 || rows.Select(r => r.Second).Distinct().Count() < 2) return null;
        SampleSummary all = new([.. rows.Select(r => r.Value)]);
        if (!(all.Variance > 0)) return null;
        Cells cells = new(rows, all.Mean, all.Sd);
        if (cells.WithinDegrees < 1 || !(cells.WithinSquares > 0)) return null;
        // In units of the overall variance, so that one is the size of everything.
        double[] theta = [0.25, 0.25, interaction ? 0.25 : 0, 0.25];
        bool[] free = [true, true, interaction, true];
        State now = cells.Evaluate(theta);
        int releases = 0;
        for (int step = 0; step < MostSteps; step++)
        {
            int[] active = [.. Enumerable.Range(0, 4).Where(i => free[i])];
            Matrix<double> information = Matrix<double>.Build.Dense(active.Length, active.Length, (i, j) => now.Information[active[i], active[j]]);
            Vector<double> move = information.Solve(Vector<double>.Build.Dense(active.Length, i => now.Score[active[i]]));
            if (move.Any(v => !double.IsFinite(v))) return null;
            bool settled = active.Select((k, i) => Math.Abs(move[i]) <= 1e-12 * theta[k] || Math.Abs(move[i]) <= 1e-16).All(v => v);
            double[] next = theta;
            State after = now;
            for (double share = 1; share > 1e-9; share /= 2)
            {
                next = [.. theta];
                for (int i = 0; i < active.Length; i++) next[active[i]] = Math.Max(theta[active[i]] / 10, theta[active[i]] + share * move[i]);
                after = cells.Evaluate(next);
                if (after.Deviance <= now.Deviance + 1e-9 * Math.Max(1, Math.Abs(now.Deviance))) break;
            }
            (theta, now) = (next, after);
            for (int i = 0; i < 3; i++)
            {
                if (!free[i] || theta[i] >= 1e-10 || now.Score[i] >= 0) continue;
                (theta[i], free[i]) = (0, false);
                now = cells.Evaluate(theta);
                settled = false;
            }
            if (!settled) continue;
            int wrong = Enumerable.Range(0, interaction ? 3 : 2).Where(i => !free[i] && now.Score[i] > 0).Append(-1).First();
            if (wrong < 0 || ++releases > 3)
            {
                double v = all.Variance;
                return new(v * theta[0], v * theta[1], v * theta[2], v * theta[3], all.Mean + all.Sd * now.Mean, all.Sd * now.MeanError, now.Deviance + (rows.Count - 1) * Math.Log(v));
            }
            (theta[wrong], free[wrong]) = (1e-3, true);
            now = cells.Evaluate(theta);
        }
        return null;
    }

    private sealed record State(double Deviance, double[] Score, double[,] Information, double Mean, double MeanError);

    private sealed class Cells
    {
        private readonly double[] _means, _counts;
        private readonly int[][] _groups;   // of each component the group of every cell: first, second, the cell itself twice
        private readonly double[][] _weights;
        private readonly int _values;

        public Cells(IReadOnlyList<(string First, string Second, double Value)> rows, double mean, double scale)
        {
            var cells = rows.GroupBy(r => (r.First, r.Second)).Select(g => (g.Key, Values: new SampleSummary([.. g.Select(r => (r.Value - mean) / scale)]))).ToArray();
            _values = rows.Count;
            _means = [.. cells.Select(c => c.Values.Mean)];
            _counts = [.. cells.Select(c => (double)c.Values.Count)];
            WithinSquares = cells.Sum(c => c.Values.SumOfSquares);
            WithinDegrees = rows.Count - cells.Length;
            int[] own = [.. Enumerable.Range(0, cells.Length)];
            double[] one = [.. own.Select(_ => 1.0)];
            _groups = [Numbered([.. cells.Select(c => c.Key.First)]), Numbered([.. cells.Select(c => c.Key.Second)]), own, own];
            _weights = [one, one, one, [.. _counts.Select(n => 1 / Math.Sqrt(n))]];
        }

        public double WithinSquares { get; }

        public int WithinDegrees { get; }

        public State Evaluate(double[] theta)
        {
            int n = _means.Length;
            // Covariance of the cell means: each component puts its variance on all pairs of one group.
            double[,] v = new double[n, n];
            for (int r = 0; r < n; r++)
            {
                for (int c = 0; c <= r; c++) v[r, c] = (_groups[0][r] == _groups[0][c] ? theta[0] : 0) + (_groups[1][r] == _groups[1][c] ? theta[1] : 0) + (r == c ? theta[2] + theta[3] / _counts[r] : 0);
            }
            double[,] p = Inverse(v, out double logDeterminant);
            double[] row = new double[n], solved = new double[n];
            double w = 0, mean = 0, quadratic = 0;
            for (int r = 0; r < n; r++)
            {
                for (int c = 0; c < n; c++) row[r] += p[r, c];
                w += row[r];
                mean += row[r] * _means[r];
            }
            mean /= w;
            for (int r = 0; r < n; r++)
            {
                for (int c = 0; c < n; c++) solved[r] += p[r, c] * (_means[c] - mean);
                quadratic += solved[r] * (_means[r] - mean);
            }
            for (int r = 0; r < n; r++)
            {
                for (int c = 0; c < n; c++) p[r, c] -= row[r] * row[c] / w;
            }
            double[] score = new double[4];
            double[,] information = new double[4, 4];
            for (int j = 0; j < 4; j++)
            {
                int groups = _groups[j].Max() + 1;
                double[,] rows = new double[groups, n];
                double[] together = new double[groups];
                for (int r = 0; r < n; r++)
                {
                    together[_groups[j][r]] += _weights[j][r] * solved[r];
                    for (int c = 0; c < n; c++) rows[_groups[j][r], c] += _weights[j][r] * p[r, c];
                }
                for (int k = j; k < 4; k++)
                {
                    int others = _groups[k].Max() + 1;
                    double squares = 0, trace = 0;
                    double[] sums = new double[others];
                    for (int g = 0; g < groups; g++)
                    {
                        Array.Clear(sums);
                        for (int c = 0; c < n; c++) sums[_groups[k][c]] += _weights[k][c] * rows[g, c];
                        foreach (double s in sums) squares += s * s;
                        if (k == j) trace += sums[g];
                    }
                    information[j, k] = information[k, j] = 0.5 * squares;
                    if (k == j) score[j] = 0.5 * (together.Sum(t => t * t) - trace);
                }
            }
            double within = theta[3];
            score[3] += 0.5 * (WithinSquares / within - WithinDegrees) / within;
            information[3, 3] += 0.5 * WithinDegrees / (within * within);
            double deviance = logDeterminant + Math.Log(w) + quadratic + WithinDegrees * Math.Log(within) + WithinSquares / within + _counts.Sum(Math.Log) + (_values - 1) * 2 * GammaFunctions.HalfLogTwoPi;
            return new(deviance, score, information, mean, 1 / Math.Sqrt(w));
        }

        // By the factor of the lower half, column by column.
        private static double[,] Inverse(double[,] v, out double logDeterminant)
        {
            int n = v.GetLength(0);
            double[,] factor = new double[n, n], half = new double[n, n], inverse = new double[n, n];
            logDeterminant = 0;
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    double sum = v[i, j];
                    for (int k = 0; k < j; k++) sum -= factor[i, k] * factor[j, k];
                    factor[i, j] = i == j ? Math.Sqrt(sum) : sum / factor[j, j];
                }
                logDeterminant += 2 * Math.Log(factor[i, i]);
            }
            for (int c = 0; c < n; c++)
            {
                for (int r = c; r < n; r++)
                {
                    double sum = r == c ? 1 : 0;
                    for (int k = c; k < r; k++) sum -= factor[r, k] * half[k, c];
                    half[r, c] = sum / factor[r, r];
                }
            }
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    double sum = 0;
                    for (int k = i; k < n; k++) sum += half[k, i] * half[k, j];
                    inverse[i, j] = inverse[j, i] = sum;
                }
            }
            return inverse;
        }

        private static int[] Numbered(string[] names)
        {
            Dictionary<string, int> numbers = [];
            return [.. names.Select(n => numbers.TryGetValue(n, out int i) ? i : numbers[n] = numbers.Count)];
        }
    }
}
