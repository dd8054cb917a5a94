using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Decisions;

public class GapOverZoneTests
{
    private static readonly Door Door = SampleDoor.Make(40);

    [Fact]
    public void Range_is_largest_minus_smallest_and_taper_the_slope_along_the_seam()
    {
        Station[] header = Zone("header");
        Measurement[] found = Of("header", s => 5 + 0.002 * (s.AlongMm - header[0].AlongMm));
        double length = header[^1].AlongMm - header[0].AlongMm;
        Near.Absolute(0.002 * length, found[0].Value!.Value, 1e-12);
        Near.Absolute(2, found[1].Value!.Value, 1e-11);      // 2 mm per m
        Assert.Equal($"largest at {header[^1].Name}, smallest at {header[0].Name}", found[0].Reason);
        Assert.Equal((Characteristic.GapRange, Characteristic.GapTaper, "header", "edge"), (found[0].Characteristic, found[1].Characteristic, found[0].Zone, found[0].Definition));
        Assert.Null(found[0].Station);
    }

    [Fact]
    public void A_zone_over_the_first_station_goes_on_from_the_end_of_the_outline()
    {
        // The first station sits inside the sill of this door, so the sill runs over the end of the list.
        Door door = Rotated(SampleDoor.Make(40), 5);
        Station[] sill = [.. door.Stations.Where(s => s.Zone == "sill")];
        Assert.Contains(sill, s => s.Index == 0);
        Assert.Contains(sill, s => s.Index == 39);
        double x0 = sill.Min(s => s.Position.X);
        Dictionary<string, Measurement> gaps = door.Stations.ToDictionary(s => s.Name, s => SamplePlan.Measured(door, s.Index, Characteristic.Gap, 5 + 0.003 * (s.Position.X - x0)));
        Near.Absolute(3, Math.Abs(GapOverZone.Of(door, "sill", gaps, "007", null)[1].Value!.Value), 1e-9);
    }

    [Fact]
    public void A_zone_in_pieces_has_a_range_and_no_taper()
    {
        Measurement[] found = Of("corner", _ => 5);
        Assert.Equal(0, found[0].Value);
        Assert.Null(found[1].Value);
        Assert.Equal("the zone is not one run of stations", found[1].Reason);
    }

    [Fact]
    public void A_missing_gap_leaves_the_zone_without_an_answer()
    {
        string gone = Zone("aft")[2].Name;
        Measurement[] found = Of("aft", s => s.Name == gone ? null : 5);
        Assert.All(found, m => Assert.Null(m.Value));
        Assert.All(found, m => Assert.Equal($"no gap at station {gone}", m.Reason));
    }

    [Fact]
    public void Without_uncertainties_there_is_a_value_and_no_uncertainty()
    {
        Dictionary<string, Measurement> gaps = Door.Stations.ToDictionary(s => s.Name, s => SamplePlan.Measured(Door, s.Index, Characteristic.Gap, 5, null));
        Assert.All(GapOverZone.Of(Door, "aft", gaps, "007", null), m => Assert.True(m is { Value: 0, StandardUncertainty: null }));
    }

    // R 4.2.2: qtukey(0.9545, n, Inf).
    [Theory]
    [InlineData(2, 2.828430581)]
    [InlineData(5, 3.905861861)]
    [InlineData(8, 4.331495446)]
    public void The_range_of_errors_is_the_known_one(int n, double quantile) => Near.Absolute(quantile, GapOverZone.RangeQuantile(n), 5e-7);

    // Whatever the true gaps are - all alike, one apart, evenly spread - the stated interval must hold the true range at least as often as it says.
    [Theory]
    [InlineData("alike")]
    [InlineData("one apart")]
    [InlineData("spread")]
    public void The_stated_interval_holds_the_true_range(string shape)
    {
        Station[] aft = Zone("aft");
        int held = 0, heldByPlainDifference = 0;
        double[] truth = [.. aft.Select((s, i) => 5 + shape switch { "alike" => 0, "one apart" => i == 2 ? 0.4 : 0, _ => 0.05 * i })];
        double range = truth.Max() - truth.Min();
        Cases.Each(1000, random =>
        {
            Dictionary<string, Measurement> gaps = aft.Select((s, i) => (s, i)).ToDictionary(x => x.s.Name, x => SamplePlan.Measured(Door, x.s.Index, Characteristic.Gap, truth[x.i] + random.Normal(0, 0.05)));
            Measurement found = GapOverZone.Of(Door, "aft", gaps, "007", null)[0];
            if (Math.Abs(found.Value!.Value - range) <= found.ExpandedUncertainty) held++;
            if (Math.Abs(found.Value!.Value - range) <= 2 * Math.Sqrt(2) * 0.05) heldByPlainDifference++;
        });
        Assert.InRange(held, 945, 1000);
        if (shape == "alike") Assert.InRange(heldByPlainDifference, 0, 800);   // why the plain difference of two gaps will not do
    }

    [Fact]
    public void The_taper_interval_holds_the_true_taper_in_95_percent()
    {
        Station[] aft = Zone("aft");
        int held = 0;
        Cases.Each(1000, random =>
        {
            Dictionary<string, Measurement> gaps = aft.ToDictionary(s => s.Name, s => SamplePlan.Measured(Door, s.Index, Characteristic.Gap, 5 + 0.0015 * s.AlongMm + random.Normal(0, 0.05)));
            Measurement found = GapOverZone.Of(Door, "aft", gaps, "007", null)[1];
            if (Math.Abs(found.Value!.Value - 1.5) <= found.ExpandedUncertainty) held++;
        });
        Assert.InRange(held, 935, 975);   // 95.45 % with three sigma of luck
    }

    private static Station[] Zone(string zone) => [.. Door.Stations.Where(s => s.Zone == zone)];

    private static Measurement[] Of(string zone, Func<Station, double?> gap) =>
        [.. GapOverZone.Of(Door, zone, Door.Stations.Where(s => gap(s) is not null).ToDictionary(s => s.Name, s => SamplePlan.Measured(Door, s.Index, Characteristic.Gap, gap(s)!.Value)), "007", null)];

    private static Door Rotated(Door door, int by)
    {
        Station[] turned = [.. door.Stations.Skip(by), .. door.Stations.Take(by)];
        double along = 0;
        List<Station> stations = [];
        for (int i = 0; i < turned.Length; i++)
        {
            if (i > 0) along += turned[i].Position.DistanceTo(turned[i - 1].Position);
            stations.Add(new(turned[i].Name, turned[i].Zone, turned[i].Position, turned[i].Normal, turned[i].Tangent, turned[i].IntoDoor, i, along));
        }
        return door with { Stations = stations };
    }
}
