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

    private static int First(IReadOnlyList<int> signals) => signals.Count > 0 ? signals[0] : Longest;

    private static void Hold(double expected, Func<double[], int> runLength)
    {
        SeededRandom random = new(7870);
        double sum = 0;
        double[] z = new double[Longest];
        for (int run = 0; run < Runs; run++)
        {
            for (int i = 0; i < z.Length; i++) z[i] = random.Normal();
            sum += runLength(z);
        }
        Assert.InRange(sum / Runs, 0.88 * expected, 1.12 * expected);
    }
}
