using GapFlush.Capability;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Capability;

public class ProcessCapabilityTests
{
    private static readonly double[] Ten = [3.98, 4.05, 3.91, 4.10, 4.02, 3.95, 4.07, 3.99, 4.04, 3.93];

    [Fact]
    public void The_worked_example_of_the_method_holds()
    {
        ProcessCapability c = ProcessCapability.Of(Ten, new(3.5, 4.5), cannotBeNegative: true);
        string text = File.ReadAllText(Path.Combine(Fixture.Root, "src", "GapFlush", "Capability", "METHOD.md"));
        string said = Invariant($"Mean {c.Mean:0.000}, s {c.SdOverall:0.0000}, Pp {c.Pp:0.00}, Ppk {c.Ppk:0.00} with a 95 % interval from {c.PpkInterval!.Value.Low:0.00} to {c.PpkInterval!.Value.High:0.00}");
        Assert.True(text.Contains(said, StringComparison.Ordinal), said);
        Assert.True(c.GoalIsShown);
        Assert.Equal("normal", c.Method);
    }

    [Fact]
    public void One_limit_gives_no_Pp_and_no_limit_gives_no_index()
    {
        ProcessCapability one = ProcessCapability.Of(Ten, new(null, 4.5));
        Assert.Null(one.Pp);
        Assert.NotNull(one.Ppk);
        ProcessCapability none = ProcessCapability.Of(Ten, null);
        Assert.Null(none.Ppk);
        Assert.Null(none.FractionOutside);
    }

    [Fact]
    public void One_value_or_no_spread_is_said_and_never_0()
    {
        Assert.Null(ProcessCapability.Of([4.0], new(3, 5)).Ppk);
        ProcessCapability alike = ProcessCapability.Of([4, 4, 4, 4, 4, 4, 4, 4, 4], new(3, 5));
        Assert.Null(alike.Ppk);
        Assert.Contains("no spread", alike.Method, StringComparison.Ordinal);
    }

    [Fact]
    public void Values_near_a_bound_are_taken_as_folded_or_the_like_and_their_share_outside_is_right()
    {
        SeededRandom random = new(5);
        double[] steps = [.. Enumerable.Range(0, 200).Select(_ => Math.Abs(random.Normal(0, 0.2)))];
        ProcessCapability c = ProcessCapability.Of(steps, new(null, 0.6), cannotBeNegative: true);
        Assert.Contains("near the bound at 0", c.Method, StringComparison.Ordinal);
        Assert.Null(c.Cpk);
        // Truth: 2 (1 - Φ(3)) = 0.0027.
        Assert.True(c.FractionOutsideInterval!.Value.Holds(0.0027));
    }

    [Fact]
    public void How_many_more_builds_it_takes_is_how_many_show_the_goal()
    {
        ProcessCapability c = ProcessCapability.Of(Ten, new(3.7, 4.4));
        Assert.False(c.GoalIsShown);
        int n = c.CountForGoal!.Value;
        Limits limits = new(3.7, 4.4);
        Assert.True(new CapabilityIndices(n, c.Mean, c.SdOverall!.Value, limits).PpkLowerBound() >= ProcessCapability.Goal);
        Assert.True(new CapabilityIndices(n - 1, c.Mean, c.SdOverall!.Value, limits).PpkLowerBound() < ProcessCapability.Goal);
    }

    [Fact]
    public void A_jump_is_marked_as_not_in_control_with_its_build()
    {
        double[] values = [.. Ten, 4.45];
        ProcessCapability c = ProcessCapability.Of(values, new(3.5, 4.5), names: [.. Enumerable.Range(1, 11).Select(i => $"B{i}")]);
        Assert.False(c.InControl);
        Assert.Contains("B11", c.Signals[0], StringComparison.Ordinal);
        Assert.NotNull(c.SdOverall);
    }

    [Fact]
    public void Inches_for_millimetres_change_no_index()
    {
        ProcessCapability mm = ProcessCapability.Of(Ten, new(3.5, 4.5)), inches = ProcessCapability.Of([.. Ten.Select(v => v / 25.4)], new(3.5 / 25.4, 4.5 / 25.4));
        Near.Digits(mm.Ppk!.Value, inches.Ppk!.Value, 10);
        Near.Digits(mm.PpkInterval!.Value.Low, inches.PpkInterval!.Value.Low, 8);
    }
}
