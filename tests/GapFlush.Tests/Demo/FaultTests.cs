using GapFlush.Demo;
using GapFlush.Plan;

namespace GapFlush.Tests.Demo;

public class FaultTests
{
    public static TheoryData<string> Kinds => [.. FaultKinds.All];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_fault_changes_the_rows_it_names_and_leaves_the_truth_alone(string kind)
    {
        foreach (string door in (string[])["P1", "S1", "B1"])
        {
            if (kind == FaultKinds.WrongHand && door == "B1") continue;
            (DemoBuild clean, DemoBuild faulty) = (Dabchick.CleanBuild(4), Dabchick.FaultyBuild(4, kind, door));
            PlantedFault fault = Assert.Single(faulty.Faults);
            Assert.Equal(kind, fault.Kind);
            Assert.NotEqual(clean.Text, faulty.Text);
            Assert.Equal(clean.Doors.SelectMany(d => d.GapMm), faulty.Doors.SelectMany(d => d.GapMm));
            HashSet<SheetRow> untouched = [.. faulty.Rows];
            Assert.All(clean.Rows.Where(r => !Concerns(fault, r)), r => Assert.Contains(r, untouched));
            Assert.Equal(faulty.Text, Dabchick.FaultyBuild(4, kind, door).Text);
        }

        static bool Concerns(PlantedFault f, SheetRow r) =>
            f.Kind == FaultKinds.WrongHand ? r.Door != "B1" : (f.Door is null || f.Door == r.Door) && (f.Stations.Count == 0 || f.Stations.Contains(r.Station));
    }

    [Fact]
    public void Transposed_stations_differ_by_more_than_the_gauge_could() => Cases.Each(60, random =>
    {
        ulong seed = random.Bits();
        foreach (Door door in Dabchick.Plan.Doors)
        {
            DemoBuild clean = Dabchick.CleanBuild(seed);
            string[] pair = [.. Dabchick.FaultyBuild(seed, FaultKinds.TransposedStations, door.Code).Faults[0].Stations];
            double[] gaps = [.. pair.Select(s => clean.Rows.Single(r => r.Door == door.Code && r.Station == s && r.Characteristic == Characteristic.Gap).Value)];
            double[] flushes = [.. pair.Select(s => clean.Rows.Single(r => r.Door == door.Code && r.Station == s && r.Characteristic == Characteristic.Flush).Value)];
            Assert.True(Math.Abs(gaps[0] - gaps[1]) > 0.36 || Math.Abs(flushes[0] - flushes[1]) > 0.36);
        }
    });

    [Fact]
    public void A_fault_that_is_not_known_is_refused_by_name()
    {
        ArgumentException e = Assert.Throws<ArgumentException>(() => Dabchick.FaultyBuild(1, "no-such-fault"));
        Assert.Contains("no-such-fault", e.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => Dabchick.FaultyBuild(1, FaultKinds.WrongHand, "B1"));
    }

    [Fact]
    public void The_demo_covers_every_kind_and_leaves_most_builds_clean()
    {
        DemoBuild[] builds = [.. Enumerable.Range(1, Dabchick.BuildCount).Select(i => Dabchick.Build(i))];
        Assert.Equal(FaultKinds.All.Order(), builds.SelectMany(b => b.Faults).Select(f => f.Kind).Distinct().Order());
        Assert.InRange(builds.Count(b => b.Faults.Count > 0), 10, 14);
        Assert.Empty(builds[16].Faults);
    }
}
