using GapFlush.GaugeStudy;
using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Tests.GaugeStudy;

public class CrossedStudyTests
{
    [Fact]
    public void The_worked_example_of_the_method_holds()
    {
        CrossedStudy s = CrossedStudy.Of([("1", "A", 1.00), ("1", "A", 1.02), ("2", "A", 2.00), ("2", "A", 2.02), ("1", "B", 1.04), ("1", "B", 1.06), ("2", "B", 2.04), ("2", "B", 2.06)], out string? reason)!;
        Assert.Null(reason);
        string text = File.ReadAllText(Path.Combine(Fixture.Root, "src", "GapFlush", "GaugeStudy", "METHOD.md"));
        string said = Invariant($"Repeatability sd {Math.Sqrt(s.Components.Repeatability):0.0000} with the interaction pooled, inspectors {Math.Sqrt(s.Components.Operator):0.0000}, measuring {Math.Sqrt(s.Components.Measuring):0.0000} mm");
        Assert.True(text.Contains(said, StringComparison.Ordinal), said);
    }

    [Theory]
    [InlineData("1A 2A", "only one inspector")]
    [InlineData("1A 1B", "only one place")]
    [InlineData("1A 1B 2A 2B", "nothing is measured twice")]
    [InlineData("1A 1A 1B 1B 2A 2A", "1 of 4 pairs of place and inspector have no reading, so few are left")]
    [InlineData("1A 1A 2A 2A 3B 3B 4B 4B", "no inspector links the 2 lots")]
    public void A_study_that_cannot_tell_is_refused_with_the_reason(string readings, string words)
    {
        Assert.Null(CrossedStudy.Of([.. readings.Split(' ').Select((r, i) => (r[..1], r[1..], (double)i))], out string? reason));
        Assert.Contains(words, reason!, StringComparison.Ordinal);
    }

    [Fact]
    public void Unbalanced_readings_whose_repeats_are_all_alike_are_refused_for_their_digits()
    {
        Assert.Null(CrossedStudy.Of([("1", "A", 1.0), ("1", "A", 1.0), ("2", "A", 2.0), ("2", "A", 2.0), ("1", "B", 1.1), ("1", "B", 1.1), ("2", "B", 2.0)], out string? reason));
        Assert.Contains("all the digits", reason!, StringComparison.Ordinal);
    }

    [Fact]
    public void One_reading_more_changes_a_balanced_study_little()
    {
        SeededRandom random = new(4);
        List<(string, string, double)> rows = Statistics.CrossedVarianceComponentsTests.Rows(random, 10, 3, (_, _) => 3, 0.3, 0.05, 0.04, 0.05);
        CrossedStudy before = CrossedStudy.Of(rows, out _)!;
        CrossedStudy after = CrossedStudy.Of([.. rows, rows[0]], out _)!;
        Assert.True(before.IsBalanced && !after.IsBalanced);
        foreach (Func<CrossedStudy, double> of in (Func<CrossedStudy, double>[])[s => s.Components.Repeatability, s => s.Components.Operator, s => s.Components.Part, s => s.Components.Measuring, s => s.InteractionTest.Statistic, s => s.Intervals.Inspector.High, s => s.Intervals.Measuring.High, s => s.Intervals.Places.Low])
            Assert.InRange(of(after) / of(before), 0.93, 1.07);
    }

    [Fact]
    public void The_square_sums_of_a_balanced_study_are_those_of_the_analysis_of_variance()
    {
        List<(string Part, string Operator, double Value)> rows = Statistics.CrossedVarianceComponentsTests.Rows(new SeededRandom(6), 6, 4, (_, _) => 2, 0.3, 0.05, 0.04, 0.05);
        CrossedStudy s = CrossedStudy.Of(rows, out _)!;
        CellForms.Cell[] cells = [.. rows.GroupBy(r => (r.Part, r.Operator)).Select(g => new CellForms.Cell(int.Parse(g.Key.Part), int.Parse(g.Key.Operator), 2, g.Average(r => r.Value)))];
        (CellForm part, CellForm op, CellForm interaction) = CellForms.Of(cells, 6, 4).For(s.WithInteraction);
        foreach ((CellForm found, CellForm expected) in new[] { (part, s.Forms.Part), (op, s.Forms.Operator), (interaction, s.Forms.Interaction) })
        {
            Assert.Equal(expected.Value, found.Value, 12);
            Assert.Equal(expected.DegreesOfFreedom, found.DegreesOfFreedom, 9);
            Assert.Equal(expected.Own, found.Own, 9);
            Assert.Equal(expected.Interaction, found.Interaction, 9);
            Assert.Equal(expected.Error, found.Error, 9);
        }
        Assert.Equal(s.Interaction.SumOfSquares, CellForms.WeightedInteraction(cells, 6, 4).SumOfSquares, 12);
    }

    // The F of the interaction is exact however unbalanced: without interaction p is below 0.25 in a quarter of 1000 studies (standard error 1.4 %), with cells missing.
    [Fact]
    public void Without_interaction_its_p_value_is_spread_evenly_in_an_unbalanced_study()
    {
        SeededRandom random = new(21);
        int below = 0, small = 0;
        for (int trial = 0; trial < 1000; trial++)
        {
            CrossedStudy? s = null;
            while (s is null) s = CrossedStudy.Of(Statistics.CrossedVarianceComponentsTests.Rows(random, 5, 3, (p, o) => p == 4 && o == 2 ? 0 : o == 0 ? 1 : 1 + (int)(3 * random.Unit()), 0.3, 0.05, 0, 0.05), out _);
            if (s.InteractionTest.Probability < 0.25) below++;
            if (s.InteractionTest.Probability < 0.05) small++;
        }
        Assert.InRange(below / 1000.0, 0.21, 0.29);
        Assert.InRange(small / 1000.0, 0.03, 0.07);
    }

    // The stated 95 % of every component, over seeded studies: cells missing, one inspector with a single reading, the interaction there or not, no inspector variance at all.
    // 150 studies: standard error 1.8 %. GAPFLUSH_GAUGE_STUDIES sets how many.
    [Theory]
    [InlineData("one inspector reads once", 0.03, 0.0)]
    [InlineData("a fifth of the cells missing", 0.03, 0.04)]
    [InlineData("a fifth of the cells missing", 0.0, 0.0)]
    [InlineData("very unequal", 0.06, 0.06)]
    [InlineData("balanced", 0.03, 0.04)]
    public void Unbalanced_intervals_hold_the_truth_as_often_as_stated(string design, double person, double interaction)
    {
        int trials = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_GAUGE_STUDIES"), out int set) ? set : 150;
        SeededRandom random = new(31);
        int[] held = new int[6];
        int kept = 0;
        for (int trial = 0; trial < trials; trial++)
        {
            CrossedStudy? s = null;
            while (s is null)
            {
                s = CrossedStudy.Of(Statistics.CrossedVarianceComponentsTests.Rows(random, 10, 3, (p, o) => design switch
                {
                    "one inspector reads once" => o == 2 ? 1 : 3,
                    "balanced" => 2,
                    "a fifth of the cells missing" => random.Unit() < 0.2 ? 0 : 2,
                    _ => 1 + (int)(8 * random.Unit() * random.Unit()),
                }, 0.3, person, interaction, 0.05), out _);
            }
            ComponentIntervals i = s.Intervals;
            double both = person * person + interaction * interaction;
            // Where an interaction is there but not seen, repeatability has it in it, and what it ought to be cannot be said: such a study is not counted for it.
            bool counts = interaction == 0 || !s.PoolsInteraction;
            if (counts) kept++;
            (Interval, double)[] stated = [(counts ? s.SdIntervals().Repeatability : new(0, 0), 0.05), (i.Inspector, person), (i.Reproducibility, Math.Sqrt(both)), (i.Measuring, Math.Sqrt(0.05 * 0.05 + both)), (i.Places, 0.3), (i.Categories, 1.41 * 0.3 / Math.Sqrt(0.05 * 0.05 + both))];
            for (int k = 0; k < stated.Length; k++) held[k] += stated[k].Item1.Holds(stated[k].Item2) ? 1 : 0;
        }
        bool both0 = person == 0 && interaction == 0;
        double[] shares = [.. held.Select((h, k) => (double)h / (k == 0 ? kept : trials))];
        string told = $"{design} {person} {interaction}: {string.Join(' ', shares.Select(x => Invariant($"{x:0.000}")))}";
        TestContext.Current.TestOutputHelper?.WriteLine(told);
        // Where nothing is there the interval of reproducibility, the sum of two variances that cannot be negative, leaves 0 out oftener than stated: 90 % of 1000 studies. The others held 94 to 99 %.
        for (int k = 0; k < shares.Length; k++) Assert.True(shares[k] >= (k == 2 && both0 ? 0.83 : 0.9), told);
    }

    // Truth 0.05 repeatability, 0.03 inspectors; the stated 95 % of measuring, over 300 studies of 10 places, 3 inspectors, 3 readings: standard error 1.3 %.
    [Fact]
    public void The_interval_of_the_measuring_holds_the_truth()
    {
        int held = 0;
        SeededRandom random = new(9);
        for (int trial = 0; trial < 300; trial++)
        {
            List<(string, string, double)> readings = [];
            double[] people = [.. Enumerable.Range(0, 3).Select(_ => random.Normal(0, 0.03))], places = [.. Enumerable.Range(0, 10).Select(_ => random.Normal(0, 0.3))];
            for (int p = 0; p < 10; p++)
                for (int o = 0; o < 3; o++)
                    for (int n = 0; n < 3; n++) readings.Add(($"{p}", $"{o}", places[p] + people[o] + random.Normal(0, 0.05)));
            if (CrossedStudy.Of(readings, out _)!.SdIntervals().Measuring.Holds(Math.Sqrt(0.05 * 0.05 + 0.03 * 0.03))) held++;
        }
        Assert.InRange(held / 300.0, 0.92, 0.99);
    }

    // Truth 0.05 repeatability, 0.03 inspectors, 0.3 places; a third of the readings lost, at least one left in each cell. 300 studies: standard error 1.3 %.
    [Fact]
    public void An_unbalanced_study_finds_the_truth_as_often_as_stated()
    {
        int measuring = 0, places = 0, repeatability = 0;
        SeededRandom random = new(11);
        for (int trial = 0; trial < 300; trial++)
        {
            List<(string, string, double)> readings = [];
            double[] people = [.. Enumerable.Range(0, 3).Select(_ => random.Normal(0, 0.03))], parts = [.. Enumerable.Range(0, 10).Select(_ => random.Normal(0, 0.3))];
            for (int p = 0; p < 10; p++)
                for (int o = 0; o < 3; o++)
                    for (int n = 0; n < 3; n++)
                        if (n == 0 || random.Unit() > 0.5) readings.Add(($"{p}", $"{o}", parts[p] + people[o] + random.Normal(0, 0.05)));
            CrossedStudy s = CrossedStudy.Of(readings, out _)!;
            Assert.False(s.IsBalanced);
            if (s.Intervals.Measuring.Holds(Math.Sqrt(0.05 * 0.05 + 0.03 * 0.03))) measuring++;
            if (s.Intervals.Places.Holds(0.3)) places++;
            if (s.Intervals.Repeatability.Holds(0.05)) repeatability++;
        }
        Assert.InRange(measuring / 300.0, 0.91, 0.995);
        Assert.InRange(places / 300.0, 0.91, 0.99);
        Assert.InRange(repeatability / 300.0, 0.91, 0.99);
    }
}
