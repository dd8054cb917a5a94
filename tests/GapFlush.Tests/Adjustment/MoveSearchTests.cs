using GapFlush.Adjustment;

namespace GapFlush.Tests.Adjustment;

public class MoveSearchTests
{
    [Fact]
    public void The_search_finds_the_score_that_trying_everything_finds()
    {
        int outside = 0;
        Cases.Each(400, random =>
        {
            FitProblem problem = SmallProblems.Make(random);
            FitScore best = new(int.MaxValue, 0, 0);
            foreach (double[] moves in SmallProblems.All(problem))
            {
                FitScore score = problem.Score(moves);
                if (score.IsBetterThan(best)) best = score;
            }
            MoveSearch found = MoveSearch.Solve(problem, [])!;
            Assert.True(found.IsProven);
            Assert.Equal(problem.Score([.. found.Moves]), found.Score);
            Assert.True(problem.IsCompatible([.. found.Moves]));
            Assert.Equal(best.Outside, found.Score.Outside);
            Near.Absolute(best.WorstExcessMm, found.Score.WorstExcessMm, 2e-6);
            Near.Absolute(best.WorstMarginMm, found.Score.WorstMarginMm, 4e-6);
            if (best.Outside > 0) outside++;
        });
        Assert.InRange(outside, 60, 340);   // both kinds of case are there
    }

    [Fact]
    public void Thinned_out_moves_are_the_fewest_and_smallest_that_are_as_good_and_leave_the_same_outside() => Cases.Each(200, random =>
    {
        FitProblem problem = SmallProblems.Make(random);
        MoveSearch found = MoveSearch.Solve(problem, [])!;
        const double slack = 0.03;
        (double[] moves, bool proven) = SmallestMoves.Of(problem, found.Moves, slack);
        Assert.True(proven);
        bool[] outside = Outside(problem, [.. found.Moves]);
        (int Count, double Sum) best = (int.MaxValue, 0);
        foreach (double[] trial in SmallProblems.All(problem))
        {
            FitScore score = problem.Score(trial);
            if (Outside(problem, trial).Zip(outside, (now, given) => now && !given).Any(x => x)) continue;
            // The margin asked for is that of the values that were inside; one that comes inside as well may have less.
            if (score.WorstExcessMm > found.Score.WorstExcessMm + slack + FitScore.Same || MarginOf(problem, trial, outside) < found.Score.WorstMarginMm - slack - FitScore.Same) continue;
            (int count, double sum) = (trial.Count(m => m != 0), trial.Sum(Math.Abs));
            if (count < best.Count || (count == best.Count && sum < best.Sum)) best = (count, sum);
        }
        Assert.Equal(best.Count, moves.Count(m => m != 0));
        Near.Absolute(best.Sum, moves.Sum(Math.Abs), 1e-5);
    });

    [Fact]
    public void Steps_are_never_answered_worse_than_by_rounding_the_stepless_answer() => Cases.Each(100, random =>
    {
        FitProblem problem = SmallProblems.Make(random);
        MoveSearch stepless = MoveSearch.Solve(problem.With([.. problem.Positions.Select(p => p with { Values = null })]), [])!;
        MoveSearch found = MoveSearch.Solve(problem, [])!;
        double[] rounded = [.. stepless.Moves.Select((m, j) => problem.Positions[j].Nearest(m))];
        Assert.False(found.Score.IsBetterThan(stepless.Score));   // steps can only cost
        if (problem.IsCompatible(rounded)) Assert.False(problem.Score(rounded).IsBetterThan(found.Score));
    });

    private static bool[] Outside(FitProblem problem, double[] moves)
    {
        double[] values = new double[problem.Quantities.Length];
        problem.At(moves, values);
        return [.. Enumerable.Range(0, problem.AskedValues.Length).Select(a => problem.Beyond(a, values) > FitProblem.Inside)];
    }

    private static double MarginOf(FitProblem problem, double[] moves, bool[] outside)
    {
        double[] values = new double[problem.Quantities.Length];
        problem.At(moves, values);
        return Enumerable.Range(0, outside.Length).Where(a => !outside[a]).Select(a => -problem.Beyond(a, values) - problem.AskedValues[a].Guard).DefaultIfEmpty(double.PositiveInfinity).Min();
    }
}
