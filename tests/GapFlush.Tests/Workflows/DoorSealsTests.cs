using GapFlush.Demo;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Tests.Workflows;

public class DoorSealsTests
{
    [Fact]
    public void The_leak_planted_beside_the_sagging_sill_is_found_where_it_is_and_as_long_as_it_is()
    {
        DemoBuild build = Dabchick.Build(21);
        DoorSeal seal = Seals(build, _ => true).Single(s => s.Door.Code == "S1");
        LeakRun found = Assert.Single(seal.Leaks);
        SealRun truth = Assert.Single(True(build, seal).Below);
        // U is 0.67 %, and the compression falls by 6 % over the 45 mm to the next station: 5 mm at either end.
        Near.Absolute(truth.FromMm, found.Run.FromMm, 5);
        Near.Absolute(truth.ToMm, found.Run.ToMm, 5);
        Near.Absolute(truth.ExtremePercent, found.Run.ExtremePercent, 0.7);
        Assert.InRange(truth.LengthMm, found.ProvenMm!.Value, found.PossibleMm!.Value);
        Assert.Equal("11", found.LeastAt);
        Assert.Equal(["sill"], found.Zones);
        Assert.True(found.IsPath);
        Assert.True(seal.AgedLeaks.Single().Run.LengthMm > found.Run.LengthMm);
    }

    [Fact]
    public void Over_clean_builds_no_leak_is_proven_that_is_not_there_and_none_that_is_deep_is_missed()
    {
        int clean = 0, leaking = 0;
        foreach (DemoBuild build in Dabchick.CleanSet(5).Append(Dabchick.Build(21)))
        {
            foreach (DoorSeal seal in Seals(build, _ => true))
            {
                SealRing truth = True(build, seal);
                if (truth.Below.Count == 0) clean++;
                else leaking++;
                foreach (LeakRun leak in seal.Leaks.Where(l => l.ProvenMm > 0)) Assert.Contains(truth.Below, t => Meets(t, leak.Run, truth.PerimeterMm));
                // U of a compression is 0.67 to 1.0 %.
                foreach (SealRun t in truth.Below.Where(t => t.ExtremePercent < 17)) Assert.Contains(seal.Leaks, l => Meets(t, l.Run, truth.PerimeterMm));
            }
        }
        Assert.True(clean >= 60, $"only {clean} clean doors");
        Assert.True(leaking >= 1, "no door leaks, so nothing could be missed");
    }

    [Fact]
    public void Predicted_from_flush_alone_no_leak_is_proven_on_a_clean_door_and_the_load_holds_the_truth()
    {
        int doors = 0, held = 0;
        foreach (DemoBuild build in Dabchick.CleanSet(6))
        {
            foreach (DoorSeal seal in Seals(build, r => r.Characteristic != Characteristic.LandGap))
            {
                doors++;
                Assert.Equal(seal.Door.Stations.Count, seal.Predicted.Count);
                SealRing truth = True(build, seal);
                foreach (LeakRun leak in seal.Leaks.Where(l => l.ProvenMm > 0)) Assert.Contains(truth.Below, t => Meets(t, leak.Run, truth.PerimeterMm));
                if (Math.Abs(truth.ClosingLoadN!.Value - seal.ClosingLoad.Value!.Value) <= seal.ClosingLoad.ExpandedUncertainty) held++;
            }
        }
        Assert.True(held >= 0.93 * doors, $"{held} of {doors} held");
    }

    [Fact]
    public void An_inspection_judges_compression_load_and_handle_force_and_marks_what_is_predicted()
    {
        DemoBuild build = Dabchick.Build(6);   // four stations of S1 were left out
        FitPlan plan = Dabchick.Plan;
        BuildInspection inspection = InspectBuild.Run(plan, build.Serial, null, [new("r.csv", build.Readings, new string('0', 64), [])]).Value;
        Assert.Equal(42 + 54 + 54, inspection.Rows.Count(r => r.Measurement.Characteristic == Characteristic.Compression && r.Verdict is not null));
        Assert.Equal(3, inspection.Rows.Count(r => r.Measurement.Characteristic == Characteristic.ClosingLoad));
        Assert.Equal(3, inspection.Rows.Count(r => r.Measurement.Characteristic == Characteristic.HandleForce));
        var predicted = inspection.Rows.Where(r => r.Measurement.Origin == MeasurementOrigin.Predicted && r.Measurement.Station is not null).ToArray();
        Assert.Equal(8, predicted.Length);
        Assert.All(predicted, r => Assert.StartsWith("predicted from how the door hangs", r.Reason, StringComparison.Ordinal));
    }

    [Fact]
    public void A_plan_that_cannot_judge_what_it_limits_is_told_by_check()
    {
        FitPlan plan = Dabchick.Plan;
        Assert.Empty(SealPlanCheck.Of(plan));
        Assert.Contains("limits.csv limits the closing load and handle force of P1, and seal-curves.csv gives no load curve for seal DB-8.", Seen(plan with { SealCurves = [.. plan.SealCurves.Where(c => c.Seal != "DB-8")] }));
        Assert.Contains("limits.csv limits the compression of B1 in corner-lower-forward, hinge, corner-upper-forward, header, corner-upper-aft, latch, corner-lower-aft, sill, and seals.csv gives no seal there.", Seen(plan with { Seals = [.. plan.Seals.Where(s => s.Door != "B1")] }));
        Assert.Contains("limits.csv limits the handle force of P1, and plan.json gives no seal_lever_mm and handle_lever_mm for it.", Seen(plan with { Doors = [.. plan.Doors.Select(d => d with { SealLeverMm = null, HandleLeverMm = null })] }));
        Assert.Contains("The nominal land gap of 5.85 mm is no less than the free height of seal DB-9, 5.8 mm: it would not touch", Seen(plan with { Seals = [.. plan.Seals.Select(s => s.Name == "DB-9" ? s with { FreeHeightMm = 5.8 } : s)] }));

        static string[] Seen(FitPlan plan) => [.. SealPlanCheck.Of(plan).Select(d => d.Seen)];
    }

    private static IReadOnlyList<DoorSeal> Seals(DemoBuild build, Func<Reading, bool> keep) =>
        DoorSeals.Of(Dabchick.Plan, build.Serial, null, PlanConditions.Apply(Dabchick.Plan, null, [.. build.Readings.Where(keep)]));

    // The same ring, pressed as the door truly is.
    private static SealRing True(DemoBuild build, DoorSeal seal)
    {
        DoorTruth truth = build.Truth(seal.Door.Code);
        return SealRing.Trace([.. seal.Stations.Select((s, i) => s with { CompressionPercent = CompressionSet.CompressionPercent(Dabchick.Plan.SealOf(seal.Door.Code, seal.Door.Stations[i].Zone)!.FreeHeightMm, truth.LandGapMm[i]) })], seal.Ring.PerimeterMm);
    }

    private static bool Meets(SealRun a, SealRun b, double perimeter)
    {
        double start = ((b.FromMm - a.FromMm) % perimeter + perimeter) % perimeter;
        return start <= a.LengthMm || start + b.LengthMm >= perimeter;
    }
}
