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
}
