using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Measurements;

public class PlanConditionsTests
{
    private static readonly Door Door = SampleDoor.Make(24) with { ExpansionPerK = 2.5e-6, SurroundExpansionPerK = 13e-6 };
    private static readonly FitPlan Plan = SamplePlan.Make(Door);

    [Fact]
    public void A_reading_at_plan_conditions_keeps_its_value_and_gets_the_uncertainty_of_its_gauge()
    {
        Measurement m = Single("fit", Gap(4.55));
        Assert.Equal(4.55, m.Value);
        Assert.Equal(4.55, m.RawValue);
        Assert.Empty(m.Corrections);
        Assert.Equal(["gauge G1 certificate", "resolution of gauge G1"], m.Budget.Select(c => c.Source));
        // 0.12 at k = 2, and 0.05 steps: 0.06² + 0.05²/12.
        Near.Absolute(Math.Sqrt(0.06 * 0.06 + 0.05 * 0.05 / 12), m.StandardUncertainty!.Value, 1e-15);
        Assert.Equal(2, m.CoverageFactor);
        Assert.Null(m.Reason);
        Assert.Equal(("007", "P1", "sill", "01", "edge", "fit"), (m.Build, m.Door, m.Zone, m.Station, m.Definition, m.Stage));
    }

    [Fact]
    public void The_certificate_is_divided_by_its_own_factor() =>
        Near.Absolute(0.03, Single("fit", Gap(4.5) with { Gauge = "G2" }).Budget[0].StandardUncertainty, 1e-15);

    [Fact]
    public void The_uncertainty_given_with_a_reading_overrides_its_gauge()
    {
        Measurement m = Single("fit", Gap(4.5) with { ExpandedUncertainty = 0.3 });
        Assert.Equal("stated with the reading", Assert.Single(m.Budget).Source);
        Near.Absolute(0.3, m.ExpandedUncertainty!.Value, 1e-15);
    }

    [Theory]
    [InlineData(null, "no gauge and no uncertainty given")]
    [InlineData("X9", "gauge X9 is not in the plan's gauges")]
    [InlineData("G3", "gauges.csv gives no uncertainty for gauge G3")]
    public void An_unknown_gauge_uncertainty_is_not_invented(string? gauge, string words)
    {
        Measurement m = Single("fit", Gap(4.5) with { Gauge = gauge });
        Assert.Equal(4.5, m.Value);
        Assert.Null(m.StandardUncertainty);
        Assert.Null(m.ExpandedUncertainty);
        Assert.StartsWith(words, m.Reason, StringComparison.Ordinal);
        // What is known of it is there all the same.
        Near.Absolute((gauge == "G3" ? 0.5 : 0.01) / Math.Sqrt(12), Assert.Single(m.Budget).StandardUncertainty, 1e-15);
    }

    [Fact]
    public void A_dropped_nought_does_not_make_the_figures_coarse()
    {
        IReadOnlyList<Measurement> all = PlanConditions.Apply(Plan, "fit", [Gap(4) with { Gauge = null, WrittenDecimals = 0 }, Gap(4.55, 1) with { Gauge = null, WrittenDecimals = 2 }]);
        Near.Absolute(0.01 / Math.Sqrt(12), all[0].Budget[0].StandardUncertainty, 1e-15);
        Near.Absolute(0.0254 / Math.Sqrt(12), Single("fit", Gap(4) with { Gauge = null, WrittenUnit = "in", WrittenDecimals = 3 }).Budget[0].StandardUncertainty, 1e-15);
    }

    [Fact]
    public void Repeats_are_averaged_and_few_of_them_widen_the_factor()
    {
        Measurement m = Single("fit", Gap(4.4) with { Repeat = 1 }, Gap(4.6) with { Repeat = 2 }, Gap(4.8));
        Near.Absolute(4.6, m.Value!.Value, 1e-15);
        UncertaintyComponent scatter = m.Budget.Single(c => c.Source == "scatter of 3 repeats");
        Near.Absolute(0.2 / Math.Sqrt(3), scatter.StandardUncertainty, 1e-15);
        Assert.Equal(2, scatter.DegreesOfFreedom);
        Assert.InRange(m.DegreesOfFreedom, 2, 4);
        Assert.InRange(m.CoverageFactor, 3.2, 4.6);   // t(95.45 %) at 3 and 2 degrees of freedom: 3.31 and 4.53
        Assert.Equal(3, m.Readings.Count);
    }

    [Fact]
    public void Equal_repeats_are_no_better_known_than_one()
    {
        Measurement one = Single("fit", Gap(4.5)), four = Single("fit", Gap(4.5), Gap(4.5), Gap(4.5), Gap(4.5));
        Assert.Equal(one.StandardUncertainty, four.StandardUncertainty);
        Assert.Equal(2, four.CoverageFactor);
    }

    // A carbon door in a glass opening: in the cold the opening shrinks more than the door, on all four sides and at the corners.
    [Fact]
    public void Temperature_takes_opening_and_door_apart_from_the_door_centre()
    {
        for (int i = 0; i < Door.Stations.Count; i++)
        {
            Station s = Door.Stations[i];
            double inward = -(s.Position - Door.Centre).Dot(s.IntoDoor);   // distance of the seam from the centre
            Assert.True(inward > 300);
            Measurement m = Single("fit", Gap(4.5, i) with { TemperatureC = -10 });
            // At -10 °C the opening has come in by 13e-6·30·inward, the door by 2.5e-6·30·inward: the gap reads small.
            double expected = (13e-6 - 2.5e-6) * 30 * inward;
            Near.Absolute(4.5 + expected, m.Value!.Value, 1e-12);
            Assert.Equal(4.5, m.RawValue);
            Assert.Equal("temperature -10.0 to 20.0 °C", Assert.Single(m.Corrections).Why);
            Near.Absolute(expected, m.Corrections[0].Amount, 1e-12);
        }
    }

    // Acrylic in carbon at 45 °C, as in TRADE section 6: what two opposite stations are corrected by is the change of the total gap between them.
    [Fact]
    public void The_corrections_of_opposite_sides_add_up_to_the_change_of_the_total_gap()
    {
        Door acrylic = SampleDoor.Make(4, barrelMm: double.PositiveInfinity) with { ExpansionPerK = 72e-6, SurroundExpansionPerK = 1.5e-6 };
        Station[] sides = [.. acrylic.Stations.Where(s => s.Zone is "aft" or "forward")];
        Assert.Equal(2, sides.Length);
        double sum = sides.Sum(s => PlanConditions.Apply(SamplePlan.Make(acrylic), "fit", [SamplePlan.Read(acrylic, s.Index, Characteristic.Gap, 4) with { TemperatureC = 45 }])[0].Corrections[0].Amount);
        double width = Math.Abs(sides[0].Position.X - sides[1].Position.X);
        Near.Absolute(-ThermalExpansion.TotalGapChange(width, width, 1.5e-6, 72e-6, 45), sum, 1e-12);
        Near.Absolute(1.269, sum, 1e-9);   // 70.5e-6 · 25 K · 720 mm
    }

    [Fact]
    public void Without_expansions_or_temperature_nothing_is_corrected()
    {
        Door unknown = Door with { SurroundExpansionPerK = null };
        Assert.Empty(PlanConditions.Apply(SamplePlan.Make(unknown), "fit", [Gap(4.5) with { TemperatureC = -10 }])[0].Corrections);
        Assert.Empty(Single("fit", Gap(4.5)).Corrections);
    }

    [Fact]
    public void At_the_reference_temperature_only_the_second_order_of_the_expansion_remains()
    {
        Measurement m = Single("fit", Gap(4.5) with { TemperatureC = 20 });
        Assert.Equal(0, m.Corrections.Single().Amount);
        Assert.Contains(m.Budget, c => c.Source == "temperature of the parts" && c.StandardUncertainty > 0);
        Assert.Contains(m.Budget, c => c.Source == "temperature and expansion together" && c.StandardUncertainty > 0);
        Assert.DoesNotContain(m.Budget, c => c.Source == "expansion of door and surround");
    }

    [Theory]
    [InlineData("fit", "primed", -0.04, 0.01)]
    [InlineData("primed", "fit", 0.04, -0.01)]
    [InlineData("fit", "painted", -0.14, -0.01)]      // two steps on the way
    [InlineData("painted", "fit", 0.14, 0.01)]
    public void Paint_is_laid_on_or_taken_off_as_the_plan_allows(string from, string to, double gap, double flush)
    {
        Near.Absolute(4.5 + gap, Single(to, Gap(4.5) with { Stage = from }).Value!.Value, 1e-12);
        Measurement f = Single(to, SamplePlan.Read(Door, 0, Characteristic.Flush, 0.1) with { Stage = from });
        Near.Absolute(0.1 + flush, f.Value!.Value, 1e-12);
        Assert.Equal(to, f.Stage);
        Assert.StartsWith("paint ", f.Corrections.Single().Why, StringComparison.Ordinal);
        Assert.Contains(f.Budget, c => c.Source == "paint allowance" && c.StandardUncertainty > 0);
    }

    [Fact]
    public void A_stage_that_differs_in_more_than_paint_is_not_converted()
    {
        Measurement m = Single("final", Gap(4.5));
        Assert.Null(m.Value);
        Assert.Equal("not used: read at stage fit, which differs from final in more than paint (seal removed against fitted, support jacks against wheels)", m.Reason);
    }

    [Fact]
    public void A_blank_stage_is_the_stage_asked_for() => Assert.Equal(4.5, Single("final", Gap(4.5) with { Stage = null }).Value);

    [Fact]
    public void The_stage_to_judge_is_told_by_the_readings()
    {
        Assert.Equal("painted", PlanConditions.StageToJudge(Plan, "painted", [Gap(4)]));
        Assert.Equal("fit", PlanConditions.StageToJudge(Plan, null, [Gap(4)]));
        Assert.Equal("primed", PlanConditions.StageToJudge(Plan, null, [Gap(4) with { Stage = "primed" }, Gap(4)]));
        Assert.Null(PlanConditions.StageToJudge(Plan, null, [Gap(4) with { Stage = null }]));
    }

    [Fact]
    public void Another_definition_is_not_compared()
    {
        Measurement alone = Single("fit", Gap(7.2) with { Definition = "skin-end" });
        Assert.Null(alone.Value);
        Assert.Contains("definition skin-end, the plan asks for edge", alone.Reason, StringComparison.Ordinal);
        Measurement beside = Single("fit", Gap(7.2) with { Definition = "skin-end" }, Gap(4.5) with { Definition = "Edge" });
        Assert.Equal(4.5, beside.Value);
        Assert.StartsWith("1 of 2 readings used; the others: definition skin-end", beside.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Measurements_come_in_plan_order_and_strangers_are_passed_over()
    {
        IReadOnlyList<Measurement> all = PlanConditions.Apply(Plan, null, [Gap(4, 7), SamplePlan.Read(Door, 2, Characteristic.Flush, 0.1), Gap(5, 2), Gap(5) with { Door = "Z" }, Gap(5) with { Station = "99" }]);
        Assert.Equal(["03 gap", "03 flush", "08 gap"], all.Select(m => $"{m.Station} {m.Characteristic}"));
    }

    // The worked example of METHOD.md: a flat door 900 mm high, so its sill lies 450 mm from the centre.
    [Fact]
    public void The_worked_example_comes_out_as_written()
    {
        Door flat = SampleDoor.Make(24, barrelMm: double.PositiveInfinity) with { ExpansionPerK = 2.5e-6, SurroundExpansionPerK = 13e-6 };
        Assert.Equal("sill", flat.Stations[0].Zone);
        Measurement m = Assert.Single(PlanConditions.Apply(SamplePlan.Make(flat), "painted", [.. ((double[])[4.62, 4.70]).Select(v => SamplePlan.Read(flat, 0, Characteristic.Gap, v) with { TemperatureC = 32 })]));
        Near.Absolute(4.66, m.RawValue!.Value, 1e-12);
        Assert.Equal(["paint bare to topcoat", "temperature 32.0 to 20.0 °C"], m.Corrections.Select(c => c.Why));
        Near.Absolute(-0.14, m.Corrections[0].Amount, 1e-12);
        Near.Absolute(-0.0567, m.Corrections[1].Amount, 1e-12);
        Near.Absolute(4.4633, m.Value!.Value, 1e-12);
        (string Source, double U)[] sources = [("gauge G1 certificate", 0.060), ("resolution of gauge G1", 0.0144), ("scatter of 2 repeats", 0.0400), ("paint allowance", 0.0202),
            ("temperature of the parts", 0.0055), ("expansion of door and surround", 0.0103), ("temperature and expansion together", 0.0010)];
        Assert.Equal(sources.Select(s => s.Source), m.Budget.Select(c => c.Source));
        for (int i = 0; i < sources.Length; i++) Near.Absolute(sources[i].U, m.Budget[i].StandardUncertainty, 5e-5);
        Near.Absolute(0.0772, m.StandardUncertainty!.Value, 5e-5);
        Near.Absolute(13.85, m.DegreesOfFreedom, 0.1);
        Near.Absolute(2.21, m.CoverageFactor, 5e-3);
        Near.Absolute(0.17, m.ExpandedUncertainty!.Value, 5e-3);
    }

    private static Reading Gap(double value, int station = 0) => SamplePlan.Read(Door, station, Characteristic.Gap, value);

    [Fact]
    public void A_land_gap_follows_the_flush_or_the_gap_with_temperature_by_how_its_seal_sits_and_paint_only_as_the_plan_says()
    {
        Reading land = SamplePlan.Read(Door, 0, Characteristic.LandGap, 6.5) with { TemperatureC = 40 };
        Station s = Door.Stations[0];
        Assert.Empty(PlanConditions.Apply(Plan, "fit", [land])[0].Corrections);   // no seal: which way it opens is not known
        foreach (SealJoint joint in (SealJoint[])[SealJoint.Lap, SealJoint.Butt])
        {
            FitPlan plan = Plan with { Seals = [new(null, null, "bulb", 10, null) { Joint = joint }] };
            double arm = (s.Position - Door.Centre).Dot(joint == SealJoint.Lap ? s.Normal : s.IntoDoor);
            Near.Absolute(-(2.5e-6 - 13e-6) * 20 * arm, Assert.Single(PlanConditions.Apply(plan, "fit", [land])[0].Corrections).Amount, 1e-12);
        }
        Reading bare = land with { TemperatureC = null };
        Assert.Contains("does not say what paint does to a seal land gap", PlanConditions.Apply(Plan, "painted", [bare])[0].Reason, StringComparison.Ordinal);
        FitPlan builds = Plan with { Paint = [new("bare", "primer", 0.02, 0.01) { LandBuildMm = 0.02 }, new("primer", "topcoat", 0.05, -0.02) { LandBuildMm = 0.06 }] };
        Near.Absolute(6.42, PlanConditions.Apply(builds, "painted", [bare])[0].Value!.Value, 1e-12);
        // One step of the way that does not say leaves the whole way unknown; a masked land says nought.
        Assert.Null(PlanConditions.Apply(Plan with { Paint = [builds.Paint[0], new("primer", "topcoat", 0.05, -0.02)] }, "painted", [bare])[0].Value);
        Near.Absolute(6.5, PlanConditions.Apply(Plan with { Paint = [.. builds.Paint.Select(p => p with { LandBuildMm = 0 })] }, "painted", [bare])[0].Value!.Value, 1e-12);
    }

    private static Measurement Single(string stage, params Reading[] readings) => Assert.Single(PlanConditions.Apply(Plan, stage, readings));
}
