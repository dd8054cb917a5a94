using GapFlush.Demo;
using GapFlush.Doubts;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Doubts;

/// <summary>Is it this aircraft, this door, this sheet, this plan, and once?</summary>
public class IdentityTests
{
    [Fact]
    public void A_clean_sheet_stays_quiet() => Assert.Empty(Bench.After(r => r));

    [Fact]
    public void A_serial_in_no_build_list_is_asked_about()
    {
        Assert.Equal(["wrong-serial S1 [] 162 readings of door S1 carry the serial D4-0O1, which is not in builds.csv; the nearest there is D4-001. Ask which aircraft was read; correct the serial, or add the build to builds.csv."],
            Bench.After(r => r.Door == "S1" ? r with { Build = "D4-0O1" } : r));
        Assert.Empty(Bench.After(r => r.Door == "S1" ? r with { Build = "D4-0O1" } : r, plan: Bench.Plan with { Builds = [] }));
    }

    [Fact]
    public void A_door_under_the_serial_of_another_build_in_one_file_is_asked_about()
    {
        Assert.Equal(["wrong-serial S1 [] 162 readings of door S1 in this file carry the serial D4-010; D4-001 has none of this door, and the rest of the file is D4-001. Ask which aircraft was read; if it was D4-001, correct the serial."],
            Bench.After(r => r.Door == "S1" ? r with { Build = "D4-010" } : r));
    }

    [Fact]
    public void A_file_of_several_whole_builds_stays_quiet()
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(0);
        Assert.Empty(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log([.. one, .. Bench.Clean(1).Readings, .. Bench.Clean(2).Readings])]));
    }

    [Fact]
    public void The_same_values_under_another_serial_are_asked_about_and_other_builds_are_not()
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(0);
        Doubt[] doubts = [.. DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log(one)], [Bench.Log(one.Where(r => r.Door == "B1").Select(r => r with { Build = "D4-005", Source = "other.csv" }), "other.csv")])];
        Assert.Equal(["wrong-serial B1 [] 126 of 126 readings of B1 have the same value as under serial D4-005 in other.csv. Two doors do not read alike to the last digit; ask which aircraft the sheet belongs to, D4-001 or D4-005."], Bench.Told(doubts));
        Assert.Empty(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log(one)], [.. Enumerable.Range(1, 12).Select(i => Bench.Log(Bench.Clean((ulong)i).Readings, $"{i}.csv"))]));
    }

    [Fact]
    public void A_file_given_twice_is_asked_about_once()
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(0);
        Assert.Equal(["double-entry - [] The file a.csv was given twice (also as b.csv): byte for byte the same. Give it once; every reading counts as a repeat now."],
            Bench.Told(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log(one, "a.csv", "1"), Bench.Log(one, "b.csv", "1")])));
    }

    [Fact]
    public void Rows_that_stand_there_twice_are_asked_about_and_numbered_repeats_are_not()
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(0);
        Reading[] twice = [.. one.Where(r => r.Is("P1", Characteristic.Flush, "7", "8", "9")).Select((r, i) => r with { Line = 900 + i })];
        Assert.Equal(["double-entry P1 [7 8 9] 3 readings of P1, stations 7 to 9, stand there twice with the same value, time and number (lines 62 and 900 and so on). Take one of each out, or number them as repeats if they were read twice; a value entered twice counts double."],
            Bench.Told(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log([.. one, .. twice])])));
        Assert.Empty(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log([.. one, .. twice.Select(r => r with { Repeat = 2 })])]));
    }

    [Fact]
    public void One_sheet_under_two_doors_is_asked_about()
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(0);
        Dictionary<(string, Characteristic), double> port = one.Where(r => r.Door == "P1").ToDictionary(r => (r.Station, r.Characteristic), r => r.Value);
        string[] told = Bench.Told(DoubtFinder.Find(Bench.Plan, serial, null, [Bench.Log(one.Select(r => r.Door == "S1" ? r.Says(port[(r.Station, r.Characteristic)], 2) : r))]));
        Assert.Contains("double-entry S1 [] 162 of 162 readings of S1 at stage trial-fit have the same value as those of P1 at stage trial-fit. Two sheets do not read alike to the last digit; find out which of the two the sheet belongs to.", told);
    }

    [Fact]
    public void A_sheet_of_another_plan_issue_is_asked_about()
    {
        Assert.Equal(["plan-superseded P1 [] 162 readings came on a sheet of issue B of the plan; issue C is used here. See what changed between the issues: stations, limits or definitions may not be those that were read to."],
            Bench.After(r => r.Door == "P1" ? r with { PlanIssue = "B" } : r));
        Assert.Empty(Bench.After(r => r with { PlanIssue = r.Door == "P1" ? "c" : null }));
    }

    [Fact]
    public void Exchanged_sheets_of_the_two_hands_are_told_from_each_other_and_the_baggage_door_is_left_alone() =>
        Assert.Equal([("wrong-hand", "P1"), ("wrong-hand", "S1")], Find(Dabchick.FaultyBuild(5, FaultKinds.WrongHand)).Select(d => (d.Kind, d.Door ?? "")));

    [Theory]
    [InlineData("read from the last station to the first", 53)]
    [InlineData("read backwards from the same first station", 54)]
    public void A_sheet_walked_backwards_is_told_with_the_way_it_was_walked(string words, int turn)
    {
        (string serial, IReadOnlyList<Reading> one) = Bench.Clean(3);
        Dictionary<(string, Characteristic), double> at = one.Where(r => r.Door == "P1").ToDictionary(r => (r.Station, r.Characteristic), r => r.Value);
        Door door = Bench.Plan.FindDoor("P1")!;
        Doubt doubt = Assert.Single(DoubtFinder.Find(Bench.Plan, serial, null,
            [Bench.Log(one.Select(r => r.Door == "P1" ? r.Says(at[(door.Stations[(turn - door.Find(r.Station)!.Index) % 54].Name, r.Characteristic)], 2) : r))]));
        Assert.Equal(("reversed-order", "P1"), (doubt.Kind, doubt.Door));
        Assert.Contains(words, doubt.Seen, StringComparison.Ordinal);
    }

    private static IReadOnlyList<Doubt> Find(DemoBuild build) => DoubtFinder.Find(Bench.Plan, build.Serial, null, [Bench.Log(build.Readings)]);
}
