using GapFlush.Decisions;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Decisions;

public class ConformityTests
{
    private static readonly Limits Band = new(4, 6);

    [Theory]
    [InlineData(4.10, 0.1, Verdict.Within)]
    [InlineData(4.0999, 0.1, Verdict.Undecided)]
    [InlineData(3.90, 0.1, Verdict.Undecided)]
    [InlineData(3.8999, 0.1, Verdict.Outside)]
    [InlineData(5.90, 0.1, Verdict.Within)]
    [InlineData(6.10, 0.1, Verdict.Undecided)]
    [InlineData(6.1001, 0.1, Verdict.Outside)]
    [InlineData(6.0, 0.0, Verdict.Within)]
    [InlineData(5.0, 1.0, Verdict.Within)]
    [InlineData(5.0, 1.2, Verdict.Undecided)]     // the uncertainty leaves no zone of acceptance
    [InlineData(9.0, 1.2, Verdict.Outside)]
    public void Conformity_is_proven_by_limits_moved_in_and_nonconformity_by_limits_moved_out(double value, double expanded, Verdict verdict) =>
        Assert.Equal(verdict, Conformity.Judge(value, expanded, 2, Band, DecisionRule.ProveConformity).Verdict);

    [Theory]
    [InlineData(6.0, Verdict.Within)]
    [InlineData(6.0000001, Verdict.Outside)]
    [InlineData(4.0, Verdict.Within)]
    public void Simple_acceptance_takes_the_limits_as_they_stand(double value, Verdict verdict) =>
        Assert.Equal(verdict, Conformity.Judge(value, 0.5, 2, Band, DecisionRule.SimpleAcceptance).Verdict);

    // 6.004 prints as 6.00, and is outside.
    [Fact]
    public void Full_values_are_compared_and_never_rounded_ones()
    {
        Conformity c = Conformity.Judge(6.004, 0, 2, Band, DecisionRule.ProveConformity);
        Assert.Equal(Verdict.Outside, c.Verdict);
        Assert.Equal("0.004 above the upper limit 6.00", c.Words);
    }

    [Fact]
    public void Decimals_compare_as_they_are_written() => Cases.Each(2000, random =>
    {
        // Limits, uncertainty and value in hundredths: the value exactly at the end of the zone of acceptance, in decimals.
        int lower = random.Below(900), width = 50 + random.Below(300), u = 1 + random.Below(20);
        Limits limits = new(lower / 100.0, (lower + width) / 100.0);
        Assert.Equal(Verdict.Within, Conformity.Judge((lower + u) / 100.0, u / 100.0, 2, limits, DecisionRule.ProveConformity).Verdict);
        Assert.Equal(Verdict.Within, Conformity.Judge((lower + width - u) / 100.0, u / 100.0, 2, limits, DecisionRule.ProveConformity).Verdict);
        Assert.Equal(Verdict.Undecided, Conformity.Judge((lower - u) / 100.0, u / 100.0, 2, limits, DecisionRule.ProveConformity).Verdict);
        Assert.Equal(Verdict.Undecided, Conformity.Judge((lower + width + u) / 100.0, u / 100.0, 2, limits, DecisionRule.ProveConformity).Verdict);
    });

    [Theory]
    [InlineData(6.12, 0.05, "0.12 above the upper limit 6.00")]
    [InlineData(3.5, 0.05, "0.50 below the lower limit 4.00")]
    [InlineData(5.97, 0.10, "0.03 below the upper limit 6.00, uncertainty 0.10: not proven inside")]
    [InlineData(6.03, 0.10, "0.03 above the upper limit 6.00, uncertainty 0.10: not proven outside")]
    [InlineData(6.0, 0.10, "on the upper limit 6.00, uncertainty 0.10: not proven inside")]
    [InlineData(4.02, 0.10, "0.02 above the lower limit 4.00, uncertainty 0.10: not proven inside")]
    [InlineData(5.9404, 0.0601, "0.0596 below the upper limit 6.00, uncertainty 0.0601: not proven inside")]
    [InlineData(6.1004, 0.1001, "0.1004 above the upper limit 6.00")]
    [InlineData(5.0, 0.10, null)]
    public void The_words_tell_value_limit_and_excess(double value, double expanded, string? words) =>
        Assert.Equal(words, Conformity.Judge(value, expanded, 2, Band, DecisionRule.ProveConformity).Words);

    [Theory]
    [InlineData(5.0, Verdict.Within)]        // a gauge fit for a band of 2 has at most U = 0.5
    [InlineData(5.5, Verdict.Within)]
    [InlineData(5.6, Verdict.Undecided)]
    [InlineData(6.4, Verdict.Undecided)]
    [InlineData(6.6, Verdict.Outside)]
    public void Withfara_known_uncertainty_only_what_holds_for_every_fit_gauge_is_said(double value, Verdict verdict)
    {
        Conformity c = Conformity.Judge(value, null, 2, Band, DecisionRule.ProveConformity);
        Assert.Equal(verdict, c.Verdict);
        Assert.Null(c.ConformanceProbability);
        if (verdict != Verdict.Within) Assert.Contains("uncertainty not known", c.Words, StringComparison.Ordinal);
    }

    // The worked example of METHOD.md.
    [Fact]
    public void The_worked_example_comes_faras_written()
    {
        Conformity near = Conformity.Judge(5.97, 0.10, 2, Band, DecisionRule.ProveConformity);
        Assert.Equal((Verdict.Undecided, "0.03 below the upper limit 6.00, uncertainty 0.10: not proven inside"), (near.Verdict, near.Words));
        Near.Absolute(0.726, near.ConformanceProbability!.Value, 5e-4);
        Conformity far = Conformity.Judge(6.12, 0.10, 2, Band, DecisionRule.ProveConformity);
        Assert.Equal((Verdict.Outside, "0.12 above the upper limit 6.00"), (far.Verdict, far.Words));
    }

    [Fact]
    public void One_sided_limits_are_handled_as_one_sided()
    {
        Limits upper = new(null, 0.5);
        Assert.Equal(Verdict.Within, Conformity.Judge(-100, 0.1, 2, upper, DecisionRule.ProveConformity).Verdict);
        Assert.Equal("0.20 above the upper limit 0.50", Conformity.Judge(0.7, 0.1, 2, upper, DecisionRule.ProveConformity).Words);
        // Uncertainty unknown: 2 · |0.5 - 0| / 4 = 0.25 with a nominal, nothing without.
        Assert.Equal(Verdict.Within, Conformity.Judge(0.2, null, 2, upper, DecisionRule.ProveConformity, 0).Verdict);
        Assert.Equal(Verdict.Undecided, Conformity.Judge(0.3, null, 2, upper, DecisionRule.ProveConformity, 0).Verdict);
        Assert.Equal(Verdict.Undecided, Conformity.Judge(0.2, null, 2, upper, DecisionRule.ProveConformity).Verdict);
        Assert.Equal(Verdict.Within, Conformity.Judge(0.2, null, 2, upper, DecisionRule.SimpleAcceptance).Verdict);
    }

    // What the rule promises: with U = 2u, a door that is truly outside passes in at most 2.3 % of readings, and one truly inside is refused in at most 2.3 %.
    [Fact]
    public void Wrong_verdicts_are_as_rare_as_the_rule_promises()
    {
        SeededRandom random = new(11);
        int passed = 0, refused = 0;
        for (int i = 0; i < 20_000; i++)
        {
            double error = random.Normal(0, 0.05);
            if (Conformity.Judge(6.0000001 + error, 0.1, 2, Band, DecisionRule.ProveConformity).Verdict == Verdict.Within) passed++;
            if (Conformity.Judge(5.9999999 + error, 0.1, 2, Band, DecisionRule.ProveConformity).Verdict == Verdict.Outside) refused++;
        }
        Assert.InRange(passed, 380, 530);     // 2.275 % of 20 000 is 455, sd 21
        Assert.InRange(refused, 380, 530);
    }

    [Theory]
    [InlineData(double.NaN, 0.1, 2)]
    [InlineData(5, -0.1, 2)]
    [InlineData(5, double.NaN, 2)]
    [InlineData(5, 0.1, 0)]
    public void Nonsense_is_refused(double value, double expanded, double factor) =>
        Assert.Throws<ArgumentException>(() => Conformity.Judge(value, expanded, factor, Band, DecisionRule.ProveConformity));
}
