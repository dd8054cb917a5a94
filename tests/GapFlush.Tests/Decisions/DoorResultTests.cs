using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Decisions;

public class DoorResultTests
{
    private static readonly Door Door = SampleDoor.Make(24);
    private static readonly FitPlan Plan = SamplePlan.Make(Door,
        new LimitRow(null, null, null, Characteristic.StepForward, null, 0, new Limits(null, 0.5), 4),
        new LimitRow(null, "aft", null, Characteristic.GapRange, null, null, new Limits(null, 1), 5),
        new LimitRow(null, null, null, Characteristic.Twist, null, 0, new Limits(-1, 1), 6));

    [Fact]
    public void A_good_door_is_within_and_its_rows_stand_in_the_order_of_the_results()
    {
        DoorResult result = Judge(SamplePlan.Full(Door));
        Assert.Equal(FitVerdict.Within, result.Verdict);
        Assert.True(result.Data.IsSound);
        Assert.Equal(["gap", "flush", "step_forward", "step_aft"], result.Rows.Take(4).Select(r => r.Measurement.Characteristic.Code));
        Assert.All(result.Rows.Take(4), r => Assert.Equal("01", r.Measurement.Station));
        Assert.Equal(24 * 4 + 5 * 2 - 1 + 1, result.Rows.Count);   // corner is in pieces: it has a range and no taper
        Assert.Equal(Characteristic.Twist, result.Rows[^1].Measurement.Characteristic);
        Assert.Equal(24 * 3 + 1 + 1, result.Counts.Within);        // step_aft is not limited, nor are the ranges but one, nor a taper
        Assert.Equal(result.Counts.Within, result.Counts.Total);
        Assert.Equal("within: 74 within", result.Words);
        Assert.All(result.Rows, r => Assert.True(r.Verdict is null or Verdict.Within && r.Reason is null));
        Assert.Equal(["sill", "corner", "aft", "header", "forward"], result.Zones.Select(z => z.Zone));
    }

    [Fact]
    public void A_value_outside_is_named_with_its_excess()
    {
        DoorResult result = Judge(SamplePlan.Full(Door, (s, c) => s.Name == "03" && c == Characteristic.Gap ? 1.25 : 0));
        Assert.Equal(FitVerdict.Outside, result.Verdict);
        ResultRow row = Assert.Single(result.Rows, r => r.Verdict == Verdict.Outside);
        Assert.Equal(("03", "0.25 above the upper limit 6.00"), (row.Measurement.Station, row.Reason));
        Near.Absolute(0.25, row.Excess!.Value, 1e-12);
        Assert.Equal(FitVerdict.Outside, result.Zones.Single(z => z.Zone == Door.Stations[2].Zone).Counts.Verdict);
        Assert.Equal(FitVerdict.Within, result.Zones.Single(z => z.Zone == "forward").Counts.Verdict);
        Assert.StartsWith("outside: 1 outside, ", result.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_door_with_a_missing_station_is_not_judged_even_where_others_are_outside()
    {
        DoorResult result = Judge(SamplePlan.Full(Door, (s, c) => s.Name == "07" && c == Characteristic.Gap ? null : s.Name == "03" && c == Characteristic.Flush ? 0.9 : 0));
        Assert.Equal(FitVerdict.NotJudged, result.Verdict);
        Assert.False(result.Data.IsComplete);
        Assert.Equal("not complete, plausible, identified", result.Data.Words);
        Assert.StartsWith("not judged: 1 outside, ", result.Words, StringComparison.Ordinal);
        Assert.Contains("gap missing at 07", result.Words, StringComparison.Ordinal);
        ResultRow row = result.Rows.Single(r => r.Measurement.Station == "07" && r.Measurement.Characteristic == Characteristic.Gap);
        Assert.Equal((Verdict.Missing, "no reading", (double?)null), (row.Verdict, row.Reason, row.Measurement.Value));
        // Its zone's range is missing too, and says for want of what.
        ResultRow range = result.Rows.Single(r => r.Measurement.Characteristic == Characteristic.GapRange && r.Limits is not null);
        Assert.Equal(Door.Stations[6].Zone == "aft" ? Verdict.Missing : Verdict.Within, range.Verdict);
    }

    [Fact]
    public void What_is_missing_is_named_once_however_much_hangs_on_it()
    {
        string[] gone = ["05", "06"];
        Assert.EndsWith("(gap and flush missing at 05, 06)", Judge(SamplePlan.Full(Door, (s, c) => gone.Contains(s.Name) ? null : 0)).Words, StringComparison.Ordinal);
        Assert.EndsWith("(flush missing at 01, 02, 03, 04, 05 and 5 more)", Judge(SamplePlan.Full(Door, (s, c) => s.Index < 10 && c == Characteristic.Flush ? null : 0)).Words, StringComparison.Ordinal);
        // Nothing read is missing: then what is derived is named.
        DoorResult still = DoorResult.For(Plan with { Airflow = null }, Door, "007", null, SamplePlan.Full(Door), []);
        Assert.EndsWith("(step facing the airflow missing at 01, 02, 03, 04, 05 and 19 more)", still.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void No_reading_at_all_is_not_judged_and_never_passed()
    {
        DoorResult result = Judge([]);
        Assert.Equal(FitVerdict.NotJudged, result.Verdict);
        Assert.Null(result.Displacement.LeastSquares);
        Assert.Empty(result.Remaining);
        Assert.Equal(0, result.Counts.Within);
        Assert.Equal("not judged: none of 74 limited values is there", result.Words);
        Assert.Equal("no flush at station 01 of door P1", result.Rows.First(r => r.Measurement.Characteristic == Characteristic.StepForward).Reason);
    }

    [Fact]
    public void A_plan_without_limits_judges_nothing()
    {
        DoorResult result = DoorResult.For(Plan with { Limits = new([]) }, Door, "007", null, SamplePlan.Full(Door), []);
        Assert.Equal(FitVerdict.NotJudged, result.Verdict);
        Assert.Equal("not judged: nothing is limited", result.Words);
        Assert.All(result.Rows, r => Assert.Null(r.Verdict));
    }

    [Fact]
    public void An_unlimited_step_without_airflow_is_left_out_and_a_limited_one_is_missing()
    {
        DoorResult result = DoorResult.For(Plan with { Airflow = null }, Door, "007", null, SamplePlan.Full(Door), []);
        Assert.DoesNotContain(result.Rows, r => r.Measurement.Characteristic == Characteristic.StepAft);
        Assert.All(result.Rows.Where(r => r.Measurement.Characteristic == Characteristic.StepForward), r => Assert.Equal((Verdict.Missing, "plan.json gives no airflow"), (r.Verdict, r.Reason)));
    }

    [Fact]
    public void A_step_carries_the_uncertainty_of_its_flush()
    {
        DoorResult result = Judge(SamplePlan.Full(Door, (s, c) => c == Characteristic.Flush ? 0.45 : 0));
        ResultRow step = result.Rows.First(r => r.Measurement.Zone == "forward" && r.Measurement.Characteristic == Characteristic.StepForward);
        Near.Absolute(0.45, step.Measurement.Value!.Value, 1e-12);
        Near.Absolute(0.1, step.Measurement.ExpandedUncertainty!.Value, 1e-12);
        Assert.Equal((Verdict.Undecided, "0.05 below the upper limit 0.50, uncertainty 0.10: not proven inside"), (step.Verdict, step.Reason));
    }

    [Fact]
    public void After_the_displacement_only_shape_remains()
    {
        // The door hangs 1.3 mm low, so sill and header are outside; one corner is bent as well.
        SmallDisplacement low = new(new(0, 0, -1.3), default, Door.Centre);
        string bent = Door.Stations.First(s => s.Zone == "corner").Name;
        List<Measurement> measured = SamplePlan.Full(Door, (s, c) => (c == Characteristic.Gap ? SeamDeviation.OfGap(s, 0) : SeamDeviation.OfFlush(s, 0)).Explained(low) + (s.Name == bent && c == Characteristic.Flush ? 1.5 : 0));
        DoorResult result = Judge(measured);
        Assert.True(result.Rows.Count(r => r.Verdict == Verdict.Outside) > 6);
        Assert.True(result.Displacement.Differ);
        Assert.Equal(DisplacementMethod.Robust, result.Displacement.Preferred!.Method);
        Near.Absolute(-1.3, result.Displacement.Preferred.Movements[2].Value!.Value, 1e-6);
        RemainingRow left = Assert.Single(result.Remaining, r => r.Verdict != Verdict.Within);
        Assert.Equal((bent, Characteristic.Flush, Verdict.Outside), (left.Station, left.Characteristic, left.Verdict));
        Near.Absolute(1.5, left.DeviationMm!.Value, 1e-6);
        Assert.Equal(bent, Assert.Single(result.Displacement.SetAside).Deviation.Station);
    }

    [Fact]
    public void Measurements_of_other_doors_builds_and_stages_are_passed_over()
    {
        List<Measurement> all = SamplePlan.Full(Door);
        Measurement[] strangers = [.. all.Select(m => m with { Build = "008", Value = 99 }), .. all.Select(m => m with { Door = "Z", Value = 99 }), .. all.Select(m => m with { Stage = "final", Value = 99 })];
        Assert.Equal(FitVerdict.NotJudged, DoorResult.For(Plan, Door, "007", "fit", strangers, []).Verdict);
        Assert.Equal(FitVerdict.Within, DoorResult.For(Plan, Door, "007", "fit", [.. strangers, .. all.Select(m => m with { Stage = "fit" })], []).Verdict);
    }

    [Fact]
    public void Derived_measurements_handed_in_are_judged_and_not_worked_out_again()
    {
        Measurement load = SamplePlan.Measured(Door, 0, Characteristic.ClosingLoad, 240, 5) with { Station = null, Zone = null, Origin = MeasurementOrigin.Derived };
        Measurement land = SamplePlan.Measured(Door, 3, Characteristic.LandGap, 5.2);
        FitPlan plan = SamplePlan.Make(Door, new LimitRow(null, null, null, Characteristic.ClosingLoad, null, null, new Limits(null, 200), 7), new LimitRow(null, null, null, Characteristic.LandGap, null, 5, new Limits(4, 6), 8),
            new LimitRow(null, null, null, Characteristic.Compression, null, 35, new Limits(20, 50), 9));
        DoorResult result = DoorResult.For(plan, Door, "007", null, [.. SamplePlan.Full(Door), load, land], []);
        Assert.Equal("40.00 above the upper limit 200.00", result.Rows[^1].Reason);
        Assert.Equal(23, result.Rows.Count(r => r.Measurement.Characteristic == Characteristic.LandGap && r.Verdict == Verdict.Missing));
        Assert.DoesNotContain(result.Rows, r => r.Measurement.Characteristic == Characteristic.Compression);
        Assert.Equal(FitVerdict.NotJudged, result.Verdict);
        Assert.True(result.Data.IsComplete);   // gap and flush are all there
    }

    [Fact]
    public void Doubts_go_to_the_data_verdict_and_leave_the_fit_verdict_alone()
    {
        Doubt slip = new("decimal-slip", "P1", ["03"], "seen", "do"), serial = new("wrong-serial", null, [], "seen", "do"), other = new("decimal-slip", "S1", [], "seen", "do");
        DoorResult result = DoorResult.For(Plan, Door, "007", null, SamplePlan.Full(Door), [slip, serial, other]);
        Assert.Equal(FitVerdict.Within, result.Verdict);
        Assert.Equal("complete, not plausible, not identified; 2 doubts", result.Data.Words);
        Assert.Equal([slip, serial], result.Data.Doubts);
        Assert.False(result.Data.IsSound);
        DataVerdict overdue = DoorResult.For(Plan, Door, "007", null, SamplePlan.Full(Door), [new("gauge-overdue", "P1", [], "seen", "do")]).Data;
        Assert.Equal("complete, plausible, identified; 1 doubt", overdue.Words);
        Assert.False(overdue.IsSound);
    }

    [Fact]
    public void A_build_is_no_better_than_its_worst_door_and_a_door_nobody_looked_at_leaves_it_unjudged()
    {
        DoorResult good = Judge(SamplePlan.Full(Door)), bad = Judge(SamplePlan.Full(Door, (s, c) => s.Name == "03" && c == Characteristic.Gap ? 1.25 : 0)), missing = Judge([]);
        Assert.True(new BuildVerdict("007", [good], []).IsClear);
        Assert.Equal("within: 74 values within on 1 doors", new BuildVerdict("007", [good], []).Words);
        Assert.Equal(FitVerdict.Outside, new BuildVerdict("007", [good, bad], []).Verdict);
        Assert.Equal(FitVerdict.NotJudged, new BuildVerdict("007", [good, bad, missing], []).Verdict);
        BuildVerdict unseen = new("007", [good], ["B1"]);
        Assert.Equal(FitVerdict.NotJudged, unseen.Verdict);
        Assert.Equal("not judged: B1 not inspected", unseen.Words);
        Assert.False(unseen.IsClear);
    }

    private static DoorResult Judge(IReadOnlyList<Measurement> measurements) => DoorResult.For(Plan, Door, "007", null, measurements, []);
}
