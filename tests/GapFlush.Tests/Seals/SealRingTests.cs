using GapFlush.Seals;

namespace GapFlush.Tests.Seals;

public class SealRingTests
{
    private static readonly SealLoadCurve Curve = new("bulb", [(0, 0), (20, 26), (40, 68), (60, 170)]);

    [Fact]
    public void A_run_below_the_least_wraps_past_the_start()
    {
        // 4 stations 100 mm apart on a 400 mm ring; only the first is low: 10 % against 30 % at its neighbours, least 20 %.
        // The line from 30 to 10 crosses 20 half way, so the run is 350 to 50, 100 mm long.
        SealRing ring = Ring(400, 20, null, 10, 30, 30, 30);
        SealRun run = Assert.Single(ring.Below);
        Assert.Equal((350.0, 50.0, 100.0, 10.0, 0.0), (run.FromMm, run.ToMm, run.LengthMm, run.ExtremePercent, run.ExtremeAtMm));
        Assert.True(ring.HasLeakLongerThan(99));
        Assert.False(ring.HasLeakLongerThan(100));
    }

    [Fact]
    public void A_ring_below_the_least_all_round_is_one_run_of_the_whole_perimeter()
    {
        SealRing ring = Ring(400, 20, null, 10, 12, 14, 12);
        Assert.Equal(400, Assert.Single(ring.Below).LengthMm);
    }

    [Fact]
    public void A_station_exactly_on_the_least_is_not_below() => Assert.Empty(Ring(400, 20, null, 20, 30, 30, 30).Below);

    [Fact]
    public void Two_separate_runs_stay_two()
    {
        SealRing ring = Ring(600, 20, 50, 10, 30, 10, 30, 60, 30);
        Assert.Equal(2, ring.Below.Count);
        // From 30 to 60 the line crosses 50 after two thirds, so 100/3 mm on either side of the peak lie above.
        Near.Absolute(200.0 / 3, Assert.Single(ring.Above).LengthMm, 1e-9);
    }

    [Fact]
    public void Load_mean_and_runs_match_a_fine_sampling_of_the_ring() => Cases.Each(100, random =>
    {
        int n = 4 + random.Below(12);
        double perimeter = random.Between(500, 4000);
        double[] at = [.. Enumerable.Range(0, n).Select(_ => random.Between(0, perimeter)).Order()];
        double[] c = [.. Enumerable.Range(0, n).Select(_ => random.Between(-10, 75))];
        SealRing ring = SealRing.Trace([.. at.Select((s, i) => new SealStation($"{i}", s, c[i], 15, 50, Curve))], perimeter);
        const int Samples = 50_000;
        double load = 0, mean = 0, below = 0, above = 0, beyond = 0, step = perimeter / Samples;
        for (int k = 0; k < Samples; k++)
        {
            double value = At((k + 0.5) * step);
            load += Curve.LoadNPerM(value) * step / 1000;
            mean += value / Samples;
            if (value < 15) below += step;
            if (value > 50) above += step;
            if (value > 60) beyond += step;
        }
        // Midpoint sampling errs by a step at each crossing, and by a slope times a step squared between.
        Near.Absolute(load, ring.ClosingLoadN!.Value, 2e-3 * Math.Max(1, load));
        Near.Absolute(mean, ring.MeanPercent!.Value, 1e-2);
        Near.Absolute(below, ring.Below.Sum(r => r.LengthMm), 2 * n * step);
        Near.Absolute(above, ring.Above.Sum(r => r.LengthMm), 2 * n * step);
        Near.Absolute(beyond, ring.BeyondCurveLengthMm, 2 * n * step);

        double At(double s)
        {
            int i = Array.FindLastIndex(at, a => a <= s);
            if (i < 0) (i, s) = (n - 1, s + perimeter);
            double next = i + 1 < n ? at[i + 1] : at[0] + perimeter;
            return c[i] + (c[(i + 1) % n] - c[i]) * (s - at[i]) / (next - at[i]);
        }
    });

    [Fact]
    public void An_unknown_station_hides_its_stretches_and_the_closing_load()
    {
        SealRing ring = SealRing.Trace([.. Stations(400, 20, null, 10, 30, 30, 30).Select(s => s.Station == "2" ? s with { CompressionPercent = null } : s)], 400);
        Assert.Null(ring.ClosingLoadN);
        Assert.Equal(200, ring.KnownLengthMm);
        Assert.Equal(200, ring.WidestSpacingMm);
        Assert.Equal(50, Assert.Single(ring.Below).LengthMm);   // only the side towards the known neighbour
    }

    [Fact]
    public void Closing_load_uncertainty_covers_the_scatter_of_noisy_compressions()
    {
        double[] c = [25, 32, 41, 38, 27, 22];
        SealRing ring = SealRing.Trace(Noisy(_ => 0), 1200);
        List<double> loads = [];
        Cases.Each(4000, random =>
        {
            double shared = random.Normal(0, 0.6);
            loads.Add(SealRing.Trace(Noisy(_ => shared + random.Normal(0, 0.8)), 1200).ClosingLoadN!.Value);
        });
        double mean = loads.Average(), sd = Math.Sqrt(loads.Sum(l => (l - mean) * (l - mean)) / (loads.Count - 1));
        // 4000 trials give the standard deviation to about 1.1 %; the bends of the curve add a little.
        Assert.InRange(sd / ring.ClosingLoadUncertaintyN!.Value, 0.95, 1.05);

        SealStation[] Noisy(Func<int, double> error) => [.. c.Select((v, i) => new SealStation($"{i}", 200 * i, v + error(i), 15, 50, Curve, 0.8, 0.6))];
    }

    [Fact]
    public void Starting_the_ring_elsewhere_changes_nothing() => Cases.Each(100, random =>
    {
        double[] c = [.. Enumerable.Range(0, 8).Select(_ => random.Between(0, 60))];
        SealRing a = Ring(800, 20, 50, c), b = Ring(800, 20, 50, [.. c.Skip(3), .. c.Take(3)]);
        Near.Digits(a.ClosingLoadN!.Value, b.ClosingLoadN!.Value, 12);
        Near.Absolute(a.Below.Sum(r => r.LengthMm), b.Below.Sum(r => r.LengthMm), 1e-9);
        Assert.Equal(a.Below.Count, b.Below.Count);
    });

    [Theory]
    [InlineData(new[] { 0.0 }, 400)]
    [InlineData(new[] { 0.0, 0.0 }, 400)]
    [InlineData(new[] { 0.0, 200.0 }, 200)]
    [InlineData(new[] { 0.0, 200.0 }, double.NaN)]
    public void A_ring_that_cannot_be_is_refused(double[] at, double perimeter) =>
        Assert.Throws<ArgumentException>(() => SealRing.Trace([.. at.Select((s, i) => new SealStation($"{i}", s, 30))], perimeter));

    private static SealRing Ring(double perimeter, double? least, double? most, params double[] c) => SealRing.Trace(Stations(perimeter, least, most, c), perimeter);

    private static SealStation[] Stations(double perimeter, double? least, double? most, params double[] c) =>
        [.. c.Select((v, i) => new SealStation($"{i + 1}", perimeter / c.Length * i, v, least, most, Curve))];
}
