namespace GapFlush.Adjustment;

/// <summary>Brings moves to a place where no small change betters them: a good answer to start the exact search from.</summary>
internal static class LocalSearch
{
    private const double StartStepMm = 1.6, LastStepMm = 0.01;

    /// <summary>Improves moves in place.</summary>
    public static void Improve(FitProblem problem, double[] moves)
    {
        // First the sum of all shortfalls, which falls smoothly; then the score itself.
        Descend(problem, moves, (a, totalA, b, totalB) => totalA < totalB - 1e-9);
        Descend(problem, moves, (a, totalA, b, totalB) => a.IsBetterThan(b));
    }

    private static void Descend(FitProblem problem, double[] moves, Func<FitScore, double, FitScore, double, bool> isBetter)
    {
        int k = moves.Length;
        FitScore score = problem.Score(moves, out double total);
        bool ok = problem.IsCompatible(moves);
        double[] trial = [.. moves];
        for (double step = StartStepMm; step >= LastStepMm; step /= 2)
        {
            for (bool better = true; better;)
            {
                better = false;
                for (int i = 0; i < k; i++)
                {
                    for (int j = i; j < k; j++)
                    {
                        for (int sign = 0; sign < (i == j ? 2 : 4); sign++)
                        {
                            moves.CopyTo(trial, 0);
                            trial[i] = Moved(problem.Positions[i], moves[i], (sign & 1) == 0 ? step : -step);
                            if (i != j) trial[j] = Moved(problem.Positions[j], moves[j], (sign & 2) == 0 ? step : -step);
                            bool compatible = problem.IsCompatible(trial);
                            if (ok && !compatible) continue;
                            FitScore now = problem.Score(trial, out double nowTotal);
                            if (ok == compatible && !isBetter(now, nowTotal, score, total)) continue;
                            (score, total, ok, better) = (now, nowTotal, compatible, true);
                            trial.CopyTo(moves, 0);
                        }
                    }
                }
            }
        }
    }

    // At least to the neighbouring place.
    private static double Moved(FitProblem.Position position, double from, double by)
    {
        double to = position.Nearest(from + by);
        if (to != from || position.Values is null) return to;
        int i = Array.BinarySearch(position.Values, from), next = i + Math.Sign(by);
        return i >= 0 && next >= 0 && next < position.Values.Length ? position.Values[next] : from;
    }
}
