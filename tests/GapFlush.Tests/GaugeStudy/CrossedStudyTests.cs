using GapFlush.GaugeStudy;
using GapFlush.Numerics;

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
    [InlineData("1A 1A 1B 1B 2A 2A", "no reading")]
    public void A_study_that_cannot_tell_is_refused_with_the_reason(string readings, string words)
    {
        Assert.Null(CrossedStudy.Of([.. readings.Split(' ').Select((r, i) => (r[..1], r[1..], (double)i))], out string? reason));
        Assert.Contains(words, reason!, StringComparison.Ordinal);
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
