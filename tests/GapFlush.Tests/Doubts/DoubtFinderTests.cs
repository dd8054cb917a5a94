using GapFlush.Demo;
using GapFlush.Doubts;
using GapFlush.Inputs;
using GapFlush.Readings;

namespace GapFlush.Tests.Doubts;

/// <summary>All checks together over the builds of the demo: what was planted is named, and nothing else.</summary>
public class DoubtFinderTests
{
    private static IReadOnlyList<Doubt> Find(DemoBuild build) =>
        DoubtFinder.Find(Dabchick.Plan, Dabchick.Serial(build.Sequence), null, [new(build.FileName, build.Readings, build.FileName, [])]);

    // Issue 2 allows 2 % = 10 of 500 clean builds. Seen: none of the 500, at either stage.
    [Fact]
    public void Clean_builds_raise_no_doubt()
    {
        List<string> raised = [];
        for (ulong seed = 0; seed < 500; seed++)
        {
            DemoBuild build = Dabchick.CleanBuild(seed, new() { Stage = seed % 4 == 3 ? "final" : "trial-fit", Repeats = seed % 5 == 0 ? 3 : 1 });
            if (Find(build) is { Count: > 0 } doubts) raised.Add(Invariant($"seed {seed}: {doubts[0].Kind} {doubts[0].Door} {doubts[0].Seen}"));
        }
        Assert.True(raised.Count <= 2, string.Join('\n', raised));
    }

    // Half of the certificate's variance as one error of all readings of a gauge: a zero within U is what the certificate allows. 2 % of 100 builds.
    [Fact]
    public void A_zero_within_the_certificate_is_no_doubt()
    {
        string[] raised = [.. Enumerable.Range(0, 100).SelectMany(seed => Find(Dabchick.CleanBuild((ulong)seed, new() { CommonGaugeShare = 0.5 })).Select(d => Invariant($"seed {seed}: {d.Kind} {d.Door} {d.Seen}")))];
        Assert.True(raised.Length <= 2, string.Join('\n', raised));
    }

    public static TheoryData<string> Kinds => [.. FaultKinds.All];

    // Over 60 seeds of each kind 1019 of 1020 faults were named (one paint state of B1 was not) and nothing else was.
    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_planted_fault_is_named_with_its_door_and_stations_and_nothing_else_is(string kind)
    {
        for (ulong seed = 0; seed < 9; seed++)
        {
            string door = kind == FaultKinds.WrongHand ? (seed % 2 == 0 ? "P1" : "S1") : Dabchick.Plan.Doors[(int)(seed % 3)].Code;
            foreach (bool declared in kind == FaultKinds.DefinitionMix ? (bool[])[true, false] : [true])
            {
                DemoBuild build = Dabchick.FaultyBuild(seed, kind, door, null, declared);
                PlantedFault fault = Assert.Single(build.Faults);
                IReadOnlyList<Doubt> doubts = Find(build);
                // A stuck value may go on by chance for a station or two.
                Assert.True(doubts.Any(d => d.Kind == fault.Kind && d.Door == fault.Door && fault.Stations.All(d.Stations.Contains) && d.Stations.Count <= fault.Stations.Count + 2), Invariant($"seed {seed} {door}: {fault.What}: {string.Join('\n', doubts)}"));
                Assert.All(doubts, d => Assert.Equal(kind, d.Kind));
            }
        }
    }

    [Fact]
    public void Every_planted_fault_of_the_demo_as_written_is_named_and_nothing_else()
    {
        ReadingLog[] logs = [.. Dabchick.Write().Where(f => f.Path.StartsWith("readings/", StringComparison.Ordinal)).OrderBy(f => f.Path, StringComparer.Ordinal)
            .Select(f => ReadingsReader.Read(InputFile.FromBytes(f.Path, f.Bytes), Dabchick.Plan).Value)];
        Assert.Equal(Dabchick.BuildCount, logs.Length);
        for (int i = 0; i < logs.Length; i++)
        {
            string[] planted = [.. Dabchick.Build(i + 1).Faults.Select(f => f.Kind).Distinct().Order(StringComparer.Ordinal)];
            foreach (ReadingLog[] others in (ReadingLog[][])[[], [.. logs.Where(l => l != logs[i])]])
            {
                string[] named = [.. DoubtFinder.Find(Dabchick.Plan, Dabchick.Serial(i + 1), null, [logs[i]], others).Select(d => d.Kind).Distinct().Order(StringComparer.Ordinal)];
                Assert.True(planted.SequenceEqual(named), Invariant($"{logs[i].Source} with {others.Length} other logs: planted {string.Join(", ", planted)}; named {string.Join(", ", named)}"));
            }
        }
    }

    [Fact]
    public void Doubts_do_not_depend_on_the_order_of_the_rows() => Cases.Each(6, random =>
    {
        string kind = ((string[])[FaultKinds.TransposedStations, FaultKinds.GaugeZero, FaultKinds.StuckValue])[random.Below(3)];
        DemoBuild build = Dabchick.FaultyBuild((ulong)random.Below(1000), kind);
        List<GapFlush.Measurements.Reading> rows = [.. build.Readings], shuffled = [];
        while (rows.Count > 0)
        {
            int k = random.Below(rows.Count);
            shuffled.Add(rows[k]);
            rows.RemoveAt(k);
        }
        string serial = Dabchick.Serial(build.Sequence);
        Assert.Equal(Find(build).Select(d => (d.Kind, d.Door, string.Join(' ', d.Stations))),
            DoubtFinder.Find(Dabchick.Plan, serial, null, [new(build.FileName, shuffled, "", [])]).Select(d => (d.Kind, d.Door, string.Join(' ', d.Stations))));
    });
}
