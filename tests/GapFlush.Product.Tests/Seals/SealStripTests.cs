using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Product.Tests.Drawing;
using GapFlush.Product.Tests.Maps;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Seals;
using GapFlush.Seals;

namespace GapFlush.Product.Tests.Seals;

public class SealStripTests
{
    [Theory]
    [InlineData(12, 0.05)]
    [InlineData(48, 0.15)]
    [InlineData(48, 0.5)]
    [InlineData(120, 0.3)]
    public void No_lettering_overlaps_another_or_leaves_the_sheet(int stations, double shareLow)
    {
        for (ulong seed = 0; seed < 8; seed++)
        {
            Sheet sheet = SealStrip.Draw(Seal(SyntheticDoors.Make("trapezium", stations), shareLow, new SeededRandom(seed), predict: seed % 2 == 1, unknown: seed % 4 == 3));
            Lettering[] texts = [.. sheet.Flat().OfType<Lettering>()];
            Box page = new(0, 0, sheet.WidthMm, sheet.HeightMm);
            for (int i = 0; i < texts.Length; i++)
            {
                Assert.True(page.Contains(texts[i].Box), $"seed {seed}: '{texts[i].Text}' leaves the sheet");
                Assert.True(texts[i].CapitalMm >= Lettering.LeastMm);
                for (int k = 0; k < i; k++)
                    Assert.False(texts[i].Box.Grow(-0.35).Overlaps(texts[k].Box.Grow(-0.35)), $"seed {seed}: '{texts[i].Text}' overlaps '{texts[k].Text}'");
            }
        }
    }

    [Fact]
    public void Every_leak_run_has_a_bar_as_long_as_it_is_and_a_name_and_one_past_the_start_has_two_bars()
    {
        Door door = SyntheticDoors.Make("trapezium", 24);
        // Low at the last and the first station: one run past the start. Low at the tenth: another.
        DoorSeal seal = Seal(door, i => i is 0 or 23 or 9 ? 9.2 : 6.5);
        Assert.Equal(2, seal.Leaks.Count);
        Sheet sheet = SealStrip.Draw(seal);
        Trail[] bars = [.. sheet.InGroup("leaks").OfType<Trail>().Where(t => t.Fill == Palette.Red)];
        Assert.Equal(3, bars.Length);
        double perMm = (180.0 - 17 - 5) / seal.Ring.PerimeterMm;
        Assert.Equal(seal.Leaks.Sum(l => l.Run.LengthMm) * perMm, bars.Sum(b => b.Places[1].X - b.Places[0].X), 6);
        string[] names = [.. sheet.InGroup("leaks").OfType<Lettering>().Select(t => t.Text)];
        foreach ((LeakRun leak, int i) in seal.Leaks.Select((l, i) => (l, i))) Assert.Contains(Invariant($"leak {i + 1}: {leak.Run.LengthMm:0} mm"), names);
    }

    [Fact]
    public void Read_and_predicted_stations_differ_in_shape_and_an_unknown_one_breaks_the_curve()
    {
        Sheet sheet = SealStrip.Draw(Seal(SyntheticDoors.Make("trapezium", 24), 0, new SeededRandom(2), predict: true, unknown: true));
        Disc[] discs = [.. sheet.InGroup("today").OfType<Disc>()];
        Assert.Contains(discs, d => d.Fill == Palette.White);
        Assert.Contains(discs, d => d.Fill == Palette.Black);
        Assert.Equal(23, discs.Length);
        Assert.True(sheet.InGroup("today").OfType<Trail>().Count() >= 2);
    }

    [Fact]
    public void The_layout_is_as_accepted() => Golden.Holds("seal-strip.txt", SheetText.Of(SealStrip.Draw(Seal(SyntheticDoors.Make("trapezium", 12), i => i is 0 or 11 ? 8.8 : 6.2 + 0.1 * i))));

    private static DoorSeal Seal(Door door, double shareLow, SeededRandom random, bool predict, bool unknown)
    {
        double[] gaps = [.. door.Stations.Select(_ => random.Unit() < shareLow ? random.Between(8.1, 10.5) : random.Between(5.5, 7.5))];
        return Seal(door, i => unknown && i == 7 ? null : gaps[i], i => predict && i % 5 == 2);
    }

    private static DoorSeal Seal(Door door, Func<int, double?> landGap, Func<int, bool>? predicted = null)
    {
        LimitsTable limits = new([new(null, null, null, Characteristic.Flush, null, 0, new Limits(-1, 1), 2), new(null, null, null, Characteristic.Compression, null, 35, new Limits(20, 50), 3)]);
        FitPlan plan = SyntheticDoors.Plan(door) with { Limits = limits, Seals = [new(null, null, "bulb", 10, 15) { LandUncertaintyMm = 0.3 }], SealCurves = [new("bulb", 0, 0), new("bulb", 60, 90)] };
        List<Measurement> measurements = [];
        foreach (Station s in door.Stations)
        {
            if (landGap(s.Index) is not double mm) continue;
            bool guess = predicted?.Invoke(s.Index) ?? false;
            measurements.Add(new()
            {
                Build = "D4-017",
                Door = door.Code,
                Zone = s.Zone,
                Station = s.Name,
                Characteristic = guess ? Characteristic.Flush : Characteristic.LandGap,
                Value = guess ? mm - 6.5 : mm,
                StandardUncertainty = 0.05,
                Origin = MeasurementOrigin.Readings,
            });
        }
        return DoorSeal.Of(plan, door, "D4-017", null, measurements)!;
    }
}
