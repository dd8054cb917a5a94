using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Tests.Seals;

public class DoorSealTests
{
    private static readonly Door Door = SampleDoor.Make();
    private static readonly Seal Bulb = new(null, null, "bulb", 10, 20) { LandUncertaintyMm = 0.3 };

    [Fact]
    public void Compression_comes_from_the_land_gap_read_and_the_free_height()
    {
        DoorSeal seal = Of(Plan(), LandGaps(7))!;
        Assert.Equal(24, seal.Compressions.Count);
        Measurement c = seal.Compressions[5];
        Near.Absolute(30, c.Value!.Value, 1e-12);
        Near.Absolute(0.5, c.StandardUncertainty!.Value, 1e-12);   // 0.05 mm of 10 mm
        Assert.Equal(MeasurementOrigin.Derived, c.Origin);
        Assert.Empty(seal.Predicted);
        // 30 % all round at 43 N/m, by hand from the curve.
        Near.Absolute(43 * Door.PerimeterMm / 1000, seal.ClosingLoad.Value!.Value, 1e-9);
        // Aged: the free height becomes 10 (1 - 0.2 x 0.3) = 9.4, and 7 mm of it leave 25.53 %.
        Assert.All(seal.AgedStations!, s => Near.Absolute(100 * 2.4 / 9.4, s.CompressionPercent!.Value, 1e-12));
    }

    [Fact]
    public void A_free_height_that_is_not_well_known_counts_for_every_station_alike()
    {
        DoorSeal seal = Of(Plan(Bulb with { FreeHeightUncertaintyMm = 0.4 }), LandGaps(7))!;
        // dc/dh0 = 100 x 7 / 100 = 7 % a mm; u = 0.2 mm.
        Near.Absolute(Math.Sqrt(0.5 * 0.5 + 1.4 * 1.4), seal.Compressions[0].StandardUncertainty!.Value, 1e-12);
        // The slope at 30 % is 1.7 N/m a per cent; the shared 1.4 % adds up round the door, the rest does not.
        double slope = 1.7 * Door.PerimeterMm / 1000;
        Near.Absolute(1.4 * slope, seal.Ring.ClosingLoadSharedUncertaintyN!.Value, 1e-9);
        Assert.InRange(seal.Ring.ClosingLoadOwnUncertaintyN!.Value, 0.5 * slope / Math.Sqrt(24), 0.55 * slope / Math.Sqrt(24));
    }

    [Fact]
    public void A_lapped_seal_is_predicted_from_the_flush_and_says_so()
    {
        List<Measurement> all = [.. LandGaps(7).Where(m => m.Station != "05"), Flush("05", 0.4, 0.03)];
        Measurement gap = Of(Plan(), all)!.LandGaps.Single(g => g.Station == "05");
        Near.Absolute(6.5 + 0.4, gap.Value!.Value, 1e-12);
        Near.Absolute(Math.Sqrt(0.03 * 0.03 + 0.15 * 0.15), gap.StandardUncertainty!.Value, 1e-12);
        Assert.Equal((MeasurementOrigin.Predicted, "predicted from the flush here, not read"), (gap.Origin, gap.Reason));
        DoorSeal seal = Of(Plan(), all)!;
        Assert.Equal(["05"], seal.Predicted);
        Assert.Equal("some land gaps predicted, not read", seal.ClosingLoad.Reason);
        Near.Absolute(31, seal.Compressions[4].Value!.Value, 1e-9);
    }

    [Fact]
    public void A_seal_between_the_edges_is_predicted_from_the_gap()
    {
        Measurement gap = Of(Plan(Bulb with { Joint = SealJoint.Butt }), [Flush("05", 0.4, 0.03), SamplePlan.Measured(Door, 4, Characteristic.Gap, 5.25)])!.LandGaps.Single(g => g.Station == "05");
        Near.Absolute(6.75, gap.Value!.Value, 1e-12);
        Assert.Equal("predicted from the gap here, not read", gap.Reason);
    }

    [Fact]
    public void Where_nothing_was_read_the_way_the_door_hangs_predicts_and_a_reading_that_was_refused_is_told()
    {
        // The whole door stands 0.3 mm proud along its outward direction at each station: y for a port door, by the plan's axes.
        List<Measurement> all = SamplePlan.Full(Door, (s, c) => s.Name == "07" ? null : (c == Characteristic.Gap ? s.IntoDoor : s.Normal).Dot(new(0, -0.3, 0)));
        all.Add(SamplePlan.Measured(Door, 6, Characteristic.LandGap, 0) with { Value = null, Reason = "not used: read at stage x" });
        Measurement gap = Of(Plan(), all)!.LandGaps.Single(g => g.Station == "07");
        Near.Absolute(6.5 + 0.3 * -Door.Stations[6].Normal.Y, gap.Value!.Value, 1e-9);
        Assert.Equal("predicted from how the door hangs, neither flush nor land gap read here; the reading was not used: read at stage x", gap.Reason);
        Near.Absolute(0.15, gap.StandardUncertainty!.Value, 1e-9);   // the readings hang together exactly, so only the land is left
    }

    [Fact]
    public void Without_anything_to_predict_from_there_is_no_value_but_a_reason()
    {
        DoorSeal seal = Of(Plan(), [Flush("05", 0.4, 0.03)])!;
        Assert.Equal("no land gap read, and nothing here to predict it from", seal.Compressions[0].Reason);
        Assert.Null(seal.ClosingLoad.Value);
        Assert.Equal("no compression at 23 stations", seal.ClosingLoad.Reason);
        FitPlan aimless = SamplePlan.Make(Door) with { Seals = [Bulb] };
        Assert.Equal("no land gap read, and no nominal land gap or compression to predict it from", Of(aimless, [Flush("05", 0.4, 0.03)])!.Compressions[4].Reason);
    }

    [Fact]
    public void A_limit_without_a_seal_or_a_curve_names_the_file_that_is_missing()
    {
        FitPlan plan = Plan() with { Seals = [] };
        DoorSeal seal = Of(plan, LandGaps(7))!;
        Assert.Equal("seals.csv gives no seal for zone sill of door P1", seal.Compressions[0].Reason);
        Assert.Equal("seals.csv gives no seal for door P1", seal.ClosingLoad.Reason);
        Assert.Equal("seal-curves.csv gives no load curve for seal bulb", Of(Plan() with { SealCurves = [] }, LandGaps(7))!.ClosingLoad.Reason);
        Assert.Null(Of(SamplePlan.Make(Door), LandGaps(7)));
    }

    [Fact]
    public void A_seal_along_one_side_only_presses_there_and_leaves_nothing_missing()
    {
        FitPlan plan = SamplePlan.Make(Door, new LimitRow(null, "sill", null, Characteristic.Compression, null, 35, new Limits(20, 50), 9)) with { Seals = [Bulb with { Zone = "sill" }], SealCurves = Curve };
        DoorSeal seal = Of(plan, LandGaps(7))!;
        int sill = Door.Stations.Count(s => s.Zone == "sill");
        Assert.Equal(sill, seal.Compressions.Count);
        Assert.Empty(seal.Unknown);
        Near.Absolute(43 * seal.Ring.KnownLengthMm / 1000, seal.ClosingLoad.Value!.Value, 1e-9);
        Assert.InRange(seal.Ring.KnownLengthMm, 0.5 * sill * Door.PerimeterMm / 24, 1.2 * sill * Door.PerimeterMm / 24);
    }

    [Fact]
    public void Lands_whose_error_the_plan_does_not_tell_take_it_from_the_land_gaps_read_or_a_stated_half_width()
    {
        FitPlan plan = Plan(Bulb with { LandUncertaintyMm = null });
        Measurement lone = Of(plan, [Flush("05", 0.4, 0.03)])!.LandGaps.Single(g => g.Station == "05");
        Near.Absolute(Math.Sqrt(0.03 * 0.03 + LandHalf * LandHalf / 3), lone.StandardUncertainty!.Value, 1e-12);
        // Every land read is 0.2 mm low or high in turn, so the next one is taken to be so too.
        List<Measurement> all = [.. Door.Stations.Where(s => s.Name != "05").SelectMany(s => new[] { Flush(s.Name, 0, 0.03), SamplePlan.Measured(Door, s.Index, Characteristic.LandGap, 6.5 + (s.Index % 2 == 0 ? 0.2 : -0.2)) }), Flush("05", 0.4, 0.03)];
        Measurement gap = Of(plan, all)!.LandGaps.Single(g => g.Station == "05");
        Near.Absolute(Math.Sqrt(0.03 * 0.03 + 0.2 * 0.2), gap.StandardUncertainty!.Value, 1e-12);
        Assert.Contains(gap.Budget, c => c.Source == "seal land and carrier, as 23 land gaps read on this door show");
    }

    [Fact]
    public void What_could_hide_is_the_spacing_of_the_land_gaps_read_not_of_the_predicted_ones()
    {
        double[] at = [.. Door.Stations.Select(s => s.AlongMm)];
        Assert.EndsWith("the widest spacing.", Of(Plan(), LandGaps(7))!.HidingWords, StringComparison.Ordinal);
        DoorSeal seal = Of(Plan(), [.. LandGaps(7).Where(m => m.Station is not ("05" or "06")), Flush("05", 0.4, 0.03), Flush("06", 0.4, 0.03)])!;
        Near.Absolute(at[6] - at[3], seal.Ring.WidestSpacingMm, 1e-9);
        Assert.Equal(Invariant($"Between stations the compression is taken to run straight; a leak of up to {at[6] - at[3]:0} mm could hide between 04 and 07, the widest spacing of land gaps read."), seal.HidingWords);
        Assert.StartsWith("Land gaps were not read", Of(Plan(), [.. Door.Stations.Select(s => Flush(s.Name, 0, 0.03))])!.HidingWords, StringComparison.Ordinal);
    }

    [Fact]
    public void Handle_force_is_the_load_by_the_two_lever_arms()
    {
        DoorSeal seal = DoorSeal.Of(Plan(), Door with { SealLeverMm = 350, HandleLeverMm = 700 }, "007", null, LandGaps(7))!;
        Near.Absolute(seal.ClosingLoad.Value!.Value / 2, seal.HandleForce.Value!.Value, 1e-12);
        Near.Absolute(seal.ClosingLoad.StandardUncertainty!.Value / 2, seal.HandleForce.StandardUncertainty!.Value, 1e-12);
        Assert.Equal("plan.json gives no seal_lever_mm and handle_lever_mm for door P1", Of(Plan(), LandGaps(7))!.HandleForce.Reason);
    }

    [Fact]
    public void A_load_carried_on_beyond_the_curve_says_over_what_length() =>
        Assert.Equal(Invariant($"over {Door.PerimeterMm:0} mm the seal is pressed beyond its load curve, which was carried on straight"), Of(Plan(), LandGaps(3))!.ClosingLoad.Reason);

    [Fact]
    public void An_uncertainty_that_is_not_known_stays_so()
    {
        DoorSeal seal = Of(Plan(), [.. LandGaps(7).Select(m => m.Station == "09" ? m with { StandardUncertainty = null } : m)])!;
        Assert.Null(seal.Compressions[8].StandardUncertainty);
        Assert.NotNull(seal.ClosingLoad.Value);
        Assert.Null(seal.ClosingLoad.StandardUncertainty);
    }

    private const double LandHalf = GapFlush.Seals.LandGaps.LandHalfWidthMm;

    private static readonly SealLoadPoint[] Curve = [new("bulb", 0, 0), new("bulb", 20, 26), new("bulb", 40, 60), new("bulb", 60, 110)];

    private static DoorSeal? Of(FitPlan plan, IReadOnlyList<Measurement> measurements) => DoorSeal.Of(plan, plan.Doors[0], "007", null, measurements);

    private static FitPlan Plan(Seal? seal = null) => SamplePlan.Make(Door,
        new LimitRow(null, null, null, Characteristic.Compression, null, 35, new Limits(20, 50), 7),
        new LimitRow(null, null, null, Characteristic.ClosingLoad, null, null, new Limits(null, 300), 8)) with
    { Seals = [seal ?? Bulb], SealCurves = Curve };

    private static List<Measurement> LandGaps(double mm) => [.. Door.Stations.Select(s => SamplePlan.Measured(Door, s.Index, Characteristic.LandGap, mm))];

    private static Measurement Flush(string station, double mm, double u) => SamplePlan.Measured(Door, Door.Find(station)!.Index, Characteristic.Flush, mm, u);
}
