using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

public class PlanReaderTests
{
    [Fact]
    public void The_small_plan_is_read_whole_and_without_a_remark()
    {
        Outcome<FitPlan> outcome = new SmallPlan().Read();
        Assert.Empty(outcome.Problems);
        Assert.Empty(outcome.Notices);
        FitPlan plan = outcome.Value;
        Assert.Equal(("Small", "B", "Test article"), (plan.Name, plan.Issue, plan.AircraftType));
    }
}
