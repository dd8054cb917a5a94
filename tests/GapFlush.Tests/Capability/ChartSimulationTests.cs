using GapFlush.Capability;
using GapFlush.Numerics;

namespace GapFlush.Tests.Capability;

/// <summary>False signals of the chart code itself, simulated, against the average run lengths computed by integral equation or Markov chain
/// (which the reference groups arl_cusum, arl_ewma and arl_shewhart hold to published ones).</summary>
public class ChartSimulationTests
{
    private const int Runs = 1000, Longest = 2500;

    // The standard error of a mean of 1000 nearly exponential run lengths is 3.2 %; 12 % is nearly four of them. What is cut off at 2500 is below 0.2 %.
    [Fact]
    public void Western_Electric_rules_signal_falsely_every_92_points() =>
        Hold(RunLengths.ThreeSigma(twoOfThree: true, fourOfFive: true, sameSide: 8), z => RunRule.WesternElectric.Select(r => r.Find(z, 0, 1)).Where(f => f.Count > 0).Select(f => f[0]).DefaultIfEmpty(Longest).Min());

    [Fact]
    public void Three_sigma_limits_signal_falsely_every_370_points() => Hold(RunLengths.ThreeSigma(), z => First(RunRule.BeyondThreeSigma.Find(z, 0, 1)));

    [Fact]
    public void A_two_sided_CUSUM_signals_falsely_as_computed() => Hold(RunLengths.TwoSidedCusum(0.5, 4, 0), z =>
    {
        CusumChart chart = new(z, 0, 1, 0.5, 4);
        return Math.Min(First(chart.SignalsUpper), First(chart.SignalsLower));
    });

    [Fact]
    public void An_EWMA_signals_falsely_as_computed() => Hold(RunLengths.Ewma(0.2, 2.5, 0), z => First(new EwmaChart(z, 0, 1, 0.2, 2.5).SignalsLongRun));

    // Printed average run lengths in control. CUSUM k 0.5: J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199, table 1 (168 as quoted by open software, 465 from memory).
    // EWMA: J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990) 1, table 3 (L 3.071 and 2.437 as quoted by open software, 2.814 from memory). Three sigma: C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393 [from memory].
    [Fact]
    public void Computed_run_lengths_are_the_printed_ones()
    {
        Near.Absolute(370.40, RunLengths.ThreeSigma(), 0.005);
        Near.Absolute(168, RunLengths.TwoSidedCusum(0.5, 4, 0), 0.5);
        Near.Absolute(465, RunLengths.TwoSidedCusum(0.5, 5, 0), 0.5);
        Near.Absolute(500, RunLengths.Ewma(0.5, 3.071, 0), 0.5);
        Near.Absolute(500, RunLengths.Ewma(0.1, 2.814, 0), 0.5);
        Near.Absolute(500, RunLengths.Ewma(0.03, 2.437, 0), 0.5);
    }

    [Fact]
    public void The_EWMA_of_weight_0_1_and_width_2_814_signals_falsely_every_500_points() => Hold(500, z => First(new EwmaChart(z, 0, 1, 0.1, 2.814).SignalsLongRun), cut: 0.0068);

    [Fact]
    public void The_CUSUM_that_is_charted_signals_falsely_every_465_points() => Hold(465, z =>
    {
        CusumChart chart = new(z, 0, 1);
        return Math.Min(First(chart.SignalsUpper), First(chart.SignalsLower));
    }, cut: 0.0047);

    // Limits from 5000 points each time, 20 times: the limits themselves are then nearly known. False signals are counted against the exact distribution of what is charted; the bound is four
    // standard errors of the count and 3 % for limits that are not quite known.
    [Fact]
    public void Single_values_and_moving_ranges_signal_falsely_as_often_as_they_must()
    {
        SeededRandom random = new(22);
        int values = 0, ranges = 0;
        for (int i = 0; i < 20; i++)
        {
            IndividualsChart chart = new([.. Enumerable.Range(0, 5000).Select(_ => random.Normal(4.5, 0.2))]);
            values += chart.Outside.Count;
            ranges += chart.RangesOutside.Count;
        }
        Counted(values, 20 * 5000, 1 / 370.40);
        // A range of two is |difference|, whose standard deviation is √2: beyond d2 + 3 d3. Neighbouring ranges share a value, so counts scatter more: by √2 at most.
        Counted(ranges, 20 * 4999, 2 * NormalDistribution.UpperTail((RangeDistribution.Mean(2) + 3 * RangeDistribution.Sd(2)) / Math.Sqrt(2)), Math.Sqrt(2));
    }

    [Theory]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(8)]
    [InlineData(12)]
    public void Means_ranges_and_standard_deviations_of_repeats_signal_falsely_as_often_as_they_must(int size)
    {
        SeededRandom random = new((ulong)(100 + size));
        int means = 0, ranges = 0, sds = 0;
        for (int i = 0; i < 20; i++)
        {
            SubgroupChart chart = new([.. Enumerable.Range(0, 5000).Select(_ => (IReadOnlyList<double>)[.. Enumerable.Range(0, size).Select(_ => random.Normal(-0.3, 0.1))])]);
            means += chart.MeansOutside.Count;
            ranges += chart.RangesOutside.Count;
            sds += chart.SdsOutside.Count;
        }
        ChartConstants c = new(size);
        Counted(means, 100_000, 1 / 370.40);
        Counted(ranges, 100_000, RangeDistribution.UpperTail(c.UpperRangeFromSigma, size) + RangeDistribution.Cdf(c.LowerRangeFromSigma, size));
        // (n - 1) s² follows chi-square with n - 1 degrees of freedom.
        Counted(sds, 100_000, ChiSquareDistribution.UpperTail((size - 1) * c.B6 * c.B6, size - 1) + (c.B5 > 0 ? ChiSquareDistribution.Cdf((size - 1) * c.B5 * c.B5, size - 1) : 0));
    }

    private static void Counted(int signals, int points, double probability, double more = 1)
    {
        double expected = points * probability, bound = 4 * more * Math.Sqrt(expected) + 0.03 * expected;
        Assert.InRange(signals, expected - bound, expected + bound);
    }

    private static int First(IReadOnlyList<int> signals) => signals.Count > 0 ? signals[0] : Longest;

    // cut: the share of a nearly exponential mean that lies beyond the longest run looked at.
    private static void Hold(double expected, Func<double[], int> runLength, double cut = 0)
    {
        SeededRandom random = new(7870);
        double sum = 0;
        double[] z = new double[Longest];
        for (int run = 0; run < Runs; run++)
        {
            for (int i = 0; i < z.Length; i++) z[i] = random.Normal();
            sum += runLength(z);
        }
        Assert.InRange(sum / Runs, (0.88 - cut) * expected, (1.12 - cut) * expected);
    }
}
