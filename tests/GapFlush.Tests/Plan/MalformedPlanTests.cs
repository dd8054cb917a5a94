using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

/// <summary>The small plan with one slip each: every slip is refused with one message, the whole of which stands here.</summary>
public class MalformedPlanTests
{
    public static TheoryData<string> Slips => [.. MalformedPlans.Slips.Select(s => s.Name)];

    [Theory]
    [MemberData(nameof(Slips))]
    public void A_slip_is_refused_with_one_message(string name)
    {
        var slip = MalformedPlans.Slips.Single(s => s.Name == name);
        Outcome<FitPlan> outcome = slip.Break(new SmallPlan()).Read();
        Assert.Equal(slip.Message, string.Join("\n", outcome.Problems));
    }

    [Fact]
    public void No_two_slips_have_the_same_message() => Assert.Equal(MalformedPlans.Slips.Length, MalformedPlans.Slips.Select(s => s.Message).Distinct().Count());
}
