using GapFlush.Measurements;

namespace GapFlush.Tests.Measurements;

public class UncertaintyBudgetTests
{
    [Fact]
    public void Shares_add_up_to_the_whole() => Cases.Each(200, random =>
    {
        UncertaintyBudget budget = new([.. Enumerable.Range(0, 1 + random.Below(6)).Select(i => new UncertaintyComponent($"{i}", random.Between(0, 1), random.Below(2) == 0 ? double.PositiveInfinity : 1 + random.Below(30)))]);
        Near.Absolute(1, budget.Components.Sum(budget.VarianceShare), 1e-12);
        Assert.InRange(budget.EffectiveDegreesOfFreedom, budget.Components.Min(c => c.DegreesOfFreedom) * (1 - 1e-12), double.PositiveInfinity);
    });

    [Fact]
    public void The_factor_is_2_where_all_is_known_and_the_t_factor_where_little_is()
    {
        Assert.Equal(2, new UncertaintyBudget([new("a", 0.05, double.PositiveInfinity)]).CoverageFactor);
        Assert.Equal("k = 2", new UncertaintyBudget([]).CoverageWords);
        UncertaintyBudget few = new([new("a", 0.05, 4)]);
        // t(0.97725; 4): R 4.2.2 qt(0.97725, 4) = 2.86931517.
        Near.Absolute(2.86931517, few.CoverageFactor, 1e-8);
        Assert.Equal("k = 2.87 (t factor for 95.45 %, 4 degrees of freedom)", few.CoverageWords);
    }

    [Fact]
    public void No_uncertainty_at_all_is_nought_and_not_NaN()
    {
        UncertaintyBudget none = new([new("a", 0, 3), new("b", 0, double.PositiveInfinity)]);
        Assert.Equal(0, none.StandardUncertainty);
        Assert.Equal(double.PositiveInfinity, none.EffectiveDegreesOfFreedom);
        Assert.Equal(0, none.VarianceShare(none.Components[0]));
        // Far below where a fourth power is still a number.
        Near.Digits(5, new UncertaintyBudget([new("a", 1e-100, 5)]).EffectiveDegreesOfFreedom, 12);
    }

    [Theory]
    [InlineData(-0.1, 3)]
    [InlineData(double.NaN, 3)]
    [InlineData(double.PositiveInfinity, 3)]
    [InlineData(0.1, 0)]
    [InlineData(0.1, double.NaN)]
    public void Nonsense_is_refused(double u, double freedom) => Assert.Throws<ArgumentException>(() => new UncertaintyBudget([new("a", u, freedom)]));
}
