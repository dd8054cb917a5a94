using GapFlush.Demo;
using GapFlush.Doubts;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Doubts;

/// <summary>In which state, with which gauge and to which definition was it read?</summary>
public class StateTests
{
    [Fact]
    public void Marked_definitions_other_than_the_plans_are_asked_about()
    {
        Assert.Equal(["definition-mix P1 [4 5 6 7] 4 readings of gap at P1 stations 4 to 7 say they are to definition corner; the plan's limits are for edge. Values of two definitions are not compared; read these stations again to the plan's definition."],
            Bench.After(r => r.Is("P1", Characteristic.Gap, "4", "5", "6", "7") ? r.Says(r.Value + 2, 2) with { Definition = "corner" } : r));
        Assert.Empty(Bench.After(r => r with { Definition = null }));
    }

    [Theory]
    [InlineData("gap", "header", 2.0)]
    [InlineData("gap", "sill", -1.0)]
    [InlineData("flush", "latch", 1.2)]
    public void A_zone_read_to_another_definition_without_a_mark_is_found_by_its_steps(string characteristic, string zone, double step)
    {
        for (ulong seed = 0; seed < 5; seed++)
        {
            string told = Assert.Single(Bench.After(r => r.Is("S1", Characteristic.Find(characteristic)!) && Bench.Plan.FindDoor("S1")!.Find(r.Station)!.Zone == zone ? r.Says(r.Value + step, 2) : r, seed));
            Assert.StartsWith("definition-mix S1 [", told, StringComparison.Ordinal);
            Assert.Contains($"readings of zone {zone} of S1 lie {(step > 0 ? "+" : "-")}", told, StringComparison.Ordinal);
        }
    }

    // The door hung 1.5 mm low makes the header gap wide and the sill tight, smoothly: no step, no doubt.
    [Fact]
    public void A_door_hung_low_is_not_taken_for_another_definition() =>
        Assert.Empty(Bench.After(r => r.Is("P1", Characteristic.Gap) ? r.Says(r.Value - 1.5 * Bench.Plan.FindDoor("P1")!.Find(r.Station)!.IntoDoor.Z, 2) : r));

    [Fact]
    public void A_sheet_partly_of_one_stage_and_partly_of_another_is_asked_about_and_two_whole_sheets_are_not()
    {
        Assert.Equal(["paint-state P1 [10 11 12] The gap sheet of P1 is marked trial-fit (bare) at 51 stations and final (painted) at stations 10 to 12. A door is in one state at a time; ask in which it was read, and mark every row alike."],
            Bench.After(r => r.Is("P1", Characteristic.Gap, "10", "11", "12") ? r with { Stage = "final" } : r).Where(t => t.StartsWith("paint-state", StringComparison.Ordinal)));
        DemoBuild bare = Dabchick.CleanBuild(4), painted = Dabchick.CleanBuild(34, new() { Stage = "final" });
        Assert.Equal(bare.Serial, painted.Serial);
        Assert.Empty(DoubtFinder.Find(Bench.Plan, bare.Serial, null, [Bench.Log([.. bare.Readings, .. painted.Readings])]));
        Assert.Empty(DoubtFinder.Find(Bench.Plan, bare.Serial, "final", [Bench.Log([.. bare.Readings, .. painted.Readings])]));
    }

    [Fact]
    public void A_painted_door_marked_bare_is_asked_about_with_both_figures()
    {
        Assert.Matches(@"^paint-state S1 \[\] The gaps of S1, marked trial-fit \(bare\), are all alike -0\.\d\d mm ± 0\.\d\d mm off, after the displacement of the door; read painted they would be -0\.20 mm off by the plan's paint allowance\. Ask whether the door was bare or painted when it was read; if the stage is right, the door or its opening is of another size\.$",
            Assert.Single(Bench.After(r => r.Is("S1", Characteristic.Gap) ? r.Says(r.Value - 0.2, 2) : r)));
        // Half as much again would be a door of another size, which is for the verdicts; so is a plan without a paint allowance.
        Assert.Empty(Bench.After(r => r.Is("S1", Characteristic.Gap) ? r.Says(r.Value - 0.5, 2) : r));
        Assert.Empty(Bench.After(r => r.Is("S1", Characteristic.Gap) ? r.Says(r.Value - 0.2, 2) : r, plan: Bench.Plan with { Paint = [] }));
    }

    [Fact]
    public void A_gauge_off_zero_on_all_doors_is_named_and_a_door_that_stands_proud_is_not_the_gauge()
    {
        string told = Assert.Single(Bench.After(r => r.Characteristic == Characteristic.Flush ? r.Says(r.Value - 0.35, 2) : r));
        Assert.StartsWith("gauge-zero - [] All 108 flush readings of gauge SG-04 share a constant of -0.", told, StringComparison.Ordinal);
        Assert.Contains("Check the gauge's zero on a flat plate; if it was off, read the flush again.", told, StringComparison.Ordinal);
        // One door moved bodily outwards by 0.8 mm: gap and flush both say so.
        Assert.Empty(Bench.After(r => r.Door != "P1" ? r : Moved(r, new(0, -0.8, 0))));
    }

    [Fact]
    public void What_other_builds_show_as_usual_is_no_zero_error()
    {
        // Every flush of the shop 0.35 mm proud: the moulds, not a gauge.
        List<GapFlush.Readings.ReadingLog> others = [.. Enumerable.Range(0, 14).Select(i => Bench.Log(Bench.Clean((ulong)i).Readings.Select(Proud), $"{i}.csv"))];
        (string serial, IReadOnlyList<Reading> readings) = Bench.Clean(44);
        GapFlush.Readings.ReadingLog proud = Bench.Log(readings.Select(Proud)), level = Bench.Log(readings);
        Assert.Equal(["gauge-zero"], Bench.Kinds(DoubtFinder.Find(Bench.Plan, serial, null, [proud])));
        Assert.Empty(DoubtFinder.Find(Bench.Plan, serial, null, [proud], others));
        Assert.Equal(["gauge-zero"], Bench.Kinds(DoubtFinder.Find(Bench.Plan, serial, null, [level], others)));

        static Reading Proud(Reading r) => r.Characteristic == Characteristic.Flush ? r.Says(r.Value + 0.35, 2) : r;
    }

    [Fact]
    public void A_gauge_past_its_calibration_is_named_with_both_days()
    {
        (string serial, IReadOnlyList<Reading> readings) = Bench.Clean();
        DateOnly day = DateOnly.FromDateTime(readings.Max(r => r.TakenAt)!.Value.DateTime);
        FitPlan With(DateOnly due) => Bench.Plan with { Gauges = [.. Bench.Plan.Gauges.Select(g => g.Name == "DM-02" ? g with { CalibrationDue = due } : g)] };
        Assert.Equal([Invariant($"gauge-overdue - [] Gauge DM-02 was used on {day:yyyy-MM-dd} for 150 readings of P1, S1 and B1; its calibration was good until {day.AddDays(-1):yyyy-MM-dd}. Have the gauge checked before these readings are relied on, or read again with one that is in date; if it was calibrated since, bring gauges.csv up to date.")],
            Bench.Told(DoubtFinder.Find(With(day.AddDays(-1)), serial, null, [Bench.Log(readings)])));
        Assert.Empty(DoubtFinder.Find(With(day), serial, null, [Bench.Log(readings)]));
    }

    [Fact]
    public void A_gauge_whose_uncertainty_takes_more_than_a_quarter_of_the_tolerance_is_too_coarse()
    {
        FitPlan With(double u) => Bench.Plan with { Gauges = [.. Bench.Plan.Gauges.Select(g => g.Name == "DM-02" ? g with { UncertaintyMm = u } : g)] };
        Assert.Empty(Bench.After(r => r, plan: With(0.44)));   // a quarter of 1.8 mm is 0.45
        Assert.Equal(["gauge-coarse - [] Gauge DM-02 has an expanded uncertainty (k = 2, resolution included) of 0.46 mm; the narrowest seal land gap tolerance it was used on, at B1 station 1, is 1.80 mm wide: 26 % of it, and more than a quarter. Read again with a finer gauge, or take the verdicts near a limit as open."],
            Bench.After(r => r, plan: With(0.46)));
    }

    [Fact]
    public void Values_written_in_coarse_steps_are_asked_about() =>
        Assert.Equal(["gauge-coarse P1 [] The seal land gap readings of gauge DM-03 go in steps of 0.5 mm; the narrowest tolerance, at P1 station 1, is 2.20 mm wide, and a step should be at most a tenth of it. Read again with a finer gauge, or take the verdicts near a limit as open."],
            Bench.After(r => r.Is("P1", Characteristic.LandGap) ? r.Says(Math.Round(2 * r.Value) / 2, 1) with { Gauge = "DM-03" } : r));

    [Fact]
    public void A_missing_temperature_matters_where_door_and_surround_expand_differently()
    {
        Assert.Equal(["temperature-missing P1 [1 2] 2 of 54 gap readings of P1 have no temperature. Door and surround expand differently (10.5 in 10⁶ per K over 878 mm): 20 K off the reference temperature of 20 °C would move a gap by 0.18 mm, 26 % of the way from nominal to the narrowest limit. Add the temperature of the parts to the sheet; without it the gaps cannot be brought to the reference temperature."],
            Bench.After(r => r.Is("P1", Characteristic.Gap, "1", "2") ? r with { TemperatureC = null } : r));
        FitPlan alike = Bench.Plan with { Doors = [.. Bench.Plan.Doors.Select(d => d with { SurroundExpansionPerK = d.ExpansionPerK })] };
        Assert.Empty(Bench.After(r => r with { TemperatureC = null }, plan: alike));
        Assert.Equal(["temperature-missing P1 [] 54 readings of P1 carry a temperature such as 68 °C, at which nobody reads gauges. Correct the temperature; it is to be in °C."],
            Bench.After(r => r.Is("P1", Characteristic.Flush) ? r with { TemperatureC = 68 } : r));
    }

    private static Reading Moved(Reading r, Vector3 by)
    {
        Station s = Bench.Plan.FindDoor(r.Door)!.Find(r.Station)!;
        return r.Characteristic == Characteristic.LandGap ? r : r.Says(r.Value + by.Dot(r.Characteristic == Characteristic.Gap ? s.IntoDoor : s.Normal), 2);
    }
}
