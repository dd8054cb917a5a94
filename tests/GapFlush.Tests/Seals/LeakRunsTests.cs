using GapFlush.Seals;

namespace GapFlush.Tests.Seals;

public class LeakRunsTests
{
    // Six stations 100 mm apart on a 600 mm ring, least 20 %, in zones a a b b c c.
    private static readonly string[] Zones = ["a", "a", "b", "b", "c", "c"];

    [Fact]
    public void A_run_is_told_by_station_zone_and_least_and_wraps_past_the_start()
    {
        // 30 to 12 crosses 20 after 10/18 of the way from station 5, and 10 to 30 half way from station 1.
        LeakRun run = Assert.Single(Of([10, 30, 30, 30, 30, 12], 1));
        Near.Absolute(100.0 * 8 / 18 + 100 + 50, run.Run.LengthMm, 1e-9);
        Assert.Equal(("56 mm after 5", "50 mm after 1", "1"), (run.From, run.To, run.LeastAt));
        Assert.Equal(["6", "1"], run.Stations);
        Assert.Equal(["c", "a"], run.Zones);
        Assert.True(run.IsPath);
        Assert.False(run.IsPredicted);
        // Raised by 1 % the crossings move in by 5 mm and 5.6 mm; lowered they move out by as much.
        Near.Absolute(run.Run.LengthMm - 5 - 100.0 / 18, run.ProvenMm!.Value, 1e-9);
        Near.Absolute(run.Run.LengthMm + 5 + 100.0 / 18, run.PossibleMm!.Value, 1e-9);
        Assert.Equal("194 mm below its least compression, from 56 mm after 5 to 50 mm after 1 (c, a), least 10.0 % at 1; proven 184 mm, possibly 205 mm", run.Words);
    }

    [Fact]
    public void A_run_that_the_uncertainty_could_undo_is_proven_nowhere_and_two_that_it_could_join_are_possibly_one()
    {
        LeakRun run = Assert.Single(Of([19, 30, 30, 30, 30, 30], 2));
        Assert.Equal(0, run.ProvenMm);
        Assert.True(run.PossibleMm > run.Run.LengthMm);
        // 10, 21, 10: two runs, that are one if all readings are 2 % too high.
        IReadOnlyList<LeakRun> two = Of([30, 10, 21, 10, 30, 30], 2);
        Assert.Equal(2, two.Count);
        Assert.All(two, r => Assert.True(r.PossibleMm > two.Sum(t => t.Run.LengthMm)));
    }

    [Fact]
    public void Only_a_run_longer_than_the_leak_length_is_a_path()
    {
        Assert.False(Assert.Single(Of([10, 30, 30, 30, 30, 30], 1, leakLength: 100)).IsPath);
        Assert.True(Assert.Single(Of([10, 30, 30, 30, 30, 30], 1, leakLength: 99)).IsPath);
    }

    [Fact]
    public void A_ring_below_all_round_is_one_run_of_the_whole_length()
    {
        LeakRun run = Assert.Single(Of([10, 10, 12, 10, 10, 10], 1));
        Assert.Equal((600.0, 600.0, 600.0), (run.Run.LengthMm, run.ProvenMm, run.PossibleMm));
        Assert.Equal(6, run.Stations.Count);
    }

    [Fact]
    public void A_run_that_rests_on_an_unknown_uncertainty_says_so()
    {
        LeakRun run = Assert.Single(Of([10, 30, 30, 30, 30, 30], null));
        Assert.Null(run.ProvenMm);
        Assert.EndsWith("how sure is not known", run.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_between_two_stations_names_the_zone_it_lies_in_and_rests_on_its_neighbours()
    {
        // Station 3 may fall to 10 %, its neighbours only to 40 %: on the way from 2 to 3 the owner changes in the middle, at 150 mm, to one whose least is 20 %.
        SealStation[] stations = [new("1", 0, 30, 20), new("2", 100, 30, 20), new("3", 200, 10, 5, IsPredicted: true), new("4", 300, 30, 20)];
        SealRing ring = SealRing.Trace(stations, 400);
        IReadOnlyList<LeakRun> runs = LeakRuns.Of(stations, ["a", "a", "corner", "b"], ring, null, [1, 1, 1, 1]);
        Assert.Empty(runs);   // at the middle it is just 20 %
        stations[2] = stations[2] with { CompressionPercent = 6 };
        ring = SealRing.Trace(stations, 400);
        runs = LeakRuns.Of(stations, ["a", "a", "corner", "b"], ring, null, [1, 1, 1, 1]);
        Assert.Equal(2, runs.Count);
        Assert.All(runs, r => Assert.True(r.IsPredicted));
        Assert.Equal("a", runs[0].Zones.Single());
        Assert.Empty(runs[0].Stations);
    }

    private static IReadOnlyList<LeakRun> Of(double[] compression, double? expanded, double? leakLength = null)
    {
        SealStation[] stations = [.. compression.Select((c, i) => new SealStation(Invariant($"{i + 1}"), 100 * i, c, 20))];
        return LeakRuns.Of(stations, Zones, SealRing.Trace(stations, 600), leakLength, [.. compression.Select(_ => expanded)]);
    }
}
