using GapFlush.Capability;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Tests.Capability;

/// <summary>How often stated 95 % intervals hold the truth, by simulation.</summary>
public class CapabilityCoverageTests
{
    private const int Trials = 5000;

    // Two limits 8 sigma apart: the mean in the middle (Ppk 1.333), and 1.5 sigma off it (Ppk 0.833). One limit: 3 sigma away.
    // The standard error of a coverage of 95 % over 5000 trials is 0.3 %.
    [Theory]
    [InlineData(5, 0.0)]
    [InlineData(10, 0.0)]
    [InlineData(30, 0.0)]
    [InlineData(100, 0.0)]
    [InlineData(5, 1.5)]
    [InlineData(10, 1.5)]
    [InlineData(30, 1.5)]
    [InlineData(100, 1.5)]
    public void The_interval_of_Ppk_holds_the_truth_in_93_to_98_percent(int n, double off)
    {
        Limits limits = new(-4, 4);
        // The interval holds the truth exactly when the estimate lies between two quantiles at the truth; that is checked on the first trials and used on all.
        double truth = (4 - off) / 3, root = 3 * Math.Sqrt(n);
        double low = NoncentralTDistribution.Quantile(0.025, n - 1, root * truth) / root, high = NoncentralTDistribution.Quantile(0.975, n - 1, root * truth) / root;
        SeededRandom random = new((ulong)(1000 * n + (int)(10 * off)));
        int held = 0;
        double[] values = new double[n];
        for (int trial = 0; trial < Trials; trial++)
        {
            for (int i = 0; i < n; i++) values[i] = random.Normal(off, 1);
            SampleSummary s = new(values);
            CapabilityIndices indices = new(n, s.Mean, s.Sd, limits);
            bool holds = indices.Ppk >= low && indices.Ppk <= high;
            if (trial < 100) Assert.Equal(holds, indices.PpkInterval().Holds(truth));
            if (holds) held++;
        }
        Assert.InRange((double)held / Trials, 0.93, 0.98);
    }

    // Between-build sd 1, within-build sd 0.5, 6 places, one limit at 4 total sigma. The standard error of 95 % over 1000 trials is 0.7 %.
    [Theory]
    [InlineData(5)]
    [InlineData(10)]
    [InlineData(30)]
    public void The_interval_of_a_zone_holds_the_truth_with_strong_variation_between_builds(int builds)
    {
        double total = Math.Sqrt(1.25);
        Limits limits = new(null, 4 * total);
        SeededRandom random = new((ulong)builds);
        int held = 0, naive = 0;
        const int trials = 1000;
        for (int trial = 0; trial < trials; trial++)
        {
            List<IReadOnlyList<double>> values = [];
            for (int b = 0; b < builds; b++)
            {
                double build = random.Normal();
                values.Add([.. Enumerable.Range(0, 6).Select(_ => build + random.Normal(0, 0.5))]);
            }
            if (ProcessCapability.OfPlaces(values, limits).PpkInterval!.Value.Holds(4.0 / 3)) held++;
            SampleSummary all = new([.. values.SelectMany(v => v)]);
            if (trial < 200 && new CapabilityIndices(all.Count, all.Mean, all.Sd, limits).PpkInterval().Holds(4.0 / 3)) naive++;
        }
        Assert.InRange((double)held / trials, 0.93, 0.98);
        // Taking six places of a build for six builds would fail: the test can tell.
        Assert.True(naive / 200.0 < 0.85);
    }
}
