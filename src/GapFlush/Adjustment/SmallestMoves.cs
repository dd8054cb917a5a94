using System.Numerics;
using GapFlush.Numerics;

namespace GapFlush.Adjustment;

/// <summary>Of all moves that leave the same values outside and are as good as a given answer, those of fewest adjusters; of these the smallest in sum.</summary>
/// <remarks>
/// <para>Method: subsets of the adjusters, fewest first; for each the smallest sum of sizes by branch and bound over the places. METHOD.md, eq. 13. With more than
/// <see cref="MostToEnumerate"/> adjusters they are taken away one by one instead, as long as the rest suffices: few, but not proven fewest.</para>
/// </remarks>
internal static class SmallestMoves
{
    /// <summary>So many adjusters are tried in all subsets.</summary>
    public const int MostToEnumerate = 12;

    private const int MostNodes = 4000;

    /// <summary>Thins out an answer.</summary>
    /// <param name="problem">The problem.</param>
    /// <param name="moves">An answer to it.</param>
    /// <param name="slackMm">By how much excess and margin may be worse and still count as equal.</param>
    /// <returns>The moves, and whether they are proven fewest and smallest.</returns>
    public static (double[] Moves, bool IsProven) Of(FitProblem problem, IReadOnlyList<double> moves, double slackMm)
    {
        double[] given = [.. moves];
        FitScore score = problem.Score(given);
        double[] values = new double[problem.Quantities.Length];
        problem.At(given, values);
        bool[] outside = [.. Enumerable.Range(0, problem.AskedValues.Length).Select(a => problem.Beyond(a, values) > FitProblem.Inside)];
        int k = problem.Moves;
        uint must = 0, may = 0;
        for (int j = 0; j < k; j++)
        {
            if (!problem.Positions[j].MayStay) must |= 1u << j;
            else may |= 1u << j;
        }
        bool proven = true;
        if (k > MostToEnumerate)
        {
            uint kept = must;
            for (int j = 0; j < k; j++)
                if (given[j] != 0) kept |= 1u << j;
            double[] thinned = given;
            foreach (int j in Enumerable.Range(0, k).Where(j => given[j] != 0 && (must & (1u << j)) == 0).OrderBy(j => Math.Abs(given[j])))
                if (Smallest(kept & ~(1u << j)) is double[] fewer) (thinned, kept) = (fewer, kept & ~(1u << j));
            return (thinned, false);
        }
        for (int count = BitOperations.PopCount(must); count <= k; count++)
        {
            double[]? best = null;
            for (uint set = 0; set < 1u << k; set++)
            {
                if (BitOperations.PopCount(set) != count || (set & must) != must || (set & ~(must | may)) != 0) continue;
                if (Smallest(set) is double[] found && (best is null || Sum(found) < Sum(best) - FitScore.Same)) best = found;
            }
            if (best is not null) return (best, proven);
        }
        return (given, proven);   // the given answer itself is one of them, so this is reached by rounding only

        double[]? Smallest(uint set)
        {
            double[]? found = new Subset(problem, outside, score, slackMm, set).Smallest(MostNodes, out bool ended);
            proven &= ended;
            return found;
        }
    }

    private static double Sum(double[] moves) => moves.Sum(Math.Abs);

    // Each move is a positive part less a negative part, so that its size is a sum of unknowns.
    private sealed class Subset
    {
        private readonly FitProblem _problem;
        private readonly int[] _movable;
        private readonly RowProgram _program;

        public Subset(FitProblem problem, bool[] outside, FitScore score, double slackMm, uint set)
        {
            _problem = problem;
            _movable = [.. Enumerable.Range(0, problem.Moves).Where(j => (set & (1u << j)) != 0)];
            _program = new(2 * _movable.Length);
            Dictionary<(int, int, int), double> rows = [];
            foreach (FitProblem.Piece p in problem.Pieces)
            {
                FitProblem.Asked asked = problem.AskedValues[p.Asked];
                if (outside[p.Asked] && asked.IsSetApart) continue;
                double limit = outside[p.Asked] ? p.Limit + score.WorstExcessMm + slackMm : Math.Min(p.Limit + FitProblem.Inside / 2, p.Limit - asked.Guard - score.WorstMarginMm + slackMm);
                (int, int, int) key = (p.Quantity, p.Less, p.Sign);
                rows[key] = Math.Min(limit, rows.GetValueOrDefault(key, double.PositiveInfinity));
            }
            foreach (((int q, int less, int sign), double limit) in rows)
            {
                FitProblem.Quantity a = problem.Quantities[q];
                FitProblem.Quantity? b = less < 0 ? null : problem.Quantities[less];
                Add(limit - sign * (a.Base - (b?.Base ?? 0)), j => sign * (a.Effect[j] - (b?.Effect[j] ?? 0)));
            }
            foreach (double[] bend in problem.Bending)
            {
                Add(problem.BendAllowanceMm, j => bend[j]);
                Add(problem.BendAllowanceMm, j => -bend[j]);
            }
        }

        private void Add(double right, Func<int, double> factor)
        {
            Span<double> row = _program.Add(right);
            for (int i = 0; i < _movable.Length; i++) (row[2 * i], row[2 * i + 1]) = (factor(_movable[i]), -factor(_movable[i]));
        }

        public double[]? Smallest(int mostNodes, out bool ended)
        {
            int n = _movable.Length;
            ended = true;
            if (n == 0)
            {
                // Nothing to move: the rows hold as they stand or not at all.
                return _program.HoldsAtNought ? new double[_problem.Moves] : null;
            }
            double[] objective = [.. Enumerable.Repeat(-1.0, 2 * n)];
            double[]? best = null;
            double least = double.PositiveInfinity;
            Stack<(double[] Low, double[] High)> open = new();
            open.Push(([.. _movable.Select(j => _problem.Positions[j].Values?[0] ?? _problem.Positions[j].Low)], [.. _movable.Select(j => _problem.Positions[j].Values?[^1] ?? _problem.Positions[j].High)]));
            double[] low = new double[2 * n], high = new double[2 * n];
            for (int nodes = 0; open.TryPop(out (double[] Low, double[] High) node); nodes++)
            {
                if (nodes >= mostNodes)
                {
                    ended = false;
                    break;
                }
                for (int i = 0; i < n; i++)
                {
                    (low[2 * i], high[2 * i]) = (Math.Max(0, node.Low[i]), Math.Max(0, node.High[i]));
                    (low[2 * i + 1], high[2 * i + 1]) = (Math.Max(0, -node.High[i]), Math.Max(0, -node.Low[i]));
                }
                if (_program.Solve(objective, low, high) != RowProgram.End.Solved) continue;
                double[] at = new double[n];
                double sum = 0;
                for (int i = 0; i < n; i++)
                {
                    at[i] = _program.Solution[2 * i] - _program.Solution[2 * i + 1];
                    sum += _program.Solution[2 * i] + _program.Solution[2 * i + 1];
                }
                if (sum >= least - FitScore.Same) continue;
                int cut = -1;
                double farthest = 1e-7;
                for (int i = 0; i < n; i++)
                {
                    FitProblem.Position position = _problem.Positions[_movable[i]];
                    double off = position.Values is null ? 0 : Math.Abs(position.Nearest(at[i]) - at[i]);
                    if (off > farthest && node.High[i] > node.Low[i]) (cut, farthest) = (i, off);
                }
                if (cut < 0)
                {
                    best = new double[_problem.Moves];
                    for (int i = 0; i < n; i++) best[_movable[i]] = _problem.Positions[_movable[i]].Nearest(at[i]);
                    least = sum;
                    continue;
                }
                double[] values = _problem.Positions[_movable[cut]].Values!;
                int below = ~Array.BinarySearch(values, at[cut]) - 1;
                double[] lower = [.. node.High], upper = [.. node.Low];
                (lower[cut], upper[cut]) = (values[below], values[below + 1]);
                open.Push((node.Low, lower));
                open.Push((upper, node.High));
            }
            return best;
        }
    }
}
