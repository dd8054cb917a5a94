using GapFlush.Demo;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Demo;

public class DabchickBuildTests
{
    [Fact]
    public void The_same_seed_gives_the_same_bytes_and_another_seed_others()
    {
        Assert.Equal(Dabchick.CleanBuild(7).Text, Dabchick.CleanBuild(7).Text);
        Assert.NotEqual(Dabchick.CleanBuild(7).Text, Dabchick.CleanBuild(37).Text);
        Assert.Equal(Dabchick.Build(5).Text, Dabchick.Build(5, Dabchick.DefaultSeed).Text);
    }

    [Fact]
    public void A_build_reads_gap_flush_and_land_gap_once_at_every_station()
    {
        IReadOnlyList<Reading> readings = Dabchick.CleanBuild(3).Readings;
        Assert.Equal(450, readings.Count);
        Assert.Equal(450, readings.Select(r => (r.Door, r.Station, r.Characteristic)).Distinct().Count());
        Assert.True(readings.Zip(readings.Skip(1)).All(p => p.First.TakenAt < p.Second.TakenAt));
    }

    [Fact]
    public void Readings_scatter_about_the_truth_as_the_gauges_say()
    {
        double sum = 0;
        int count = 0;
        for (ulong seed = 0; seed < 40; seed++)
        {
            DemoBuild build = Dabchick.CleanBuild(seed);
            foreach (Reading r in build.Readings)
            {
                DoorTruth truth = build.Truth(r.Door);
                int i = truth.Door.Find(r.Station)!.Index;
                double value = r.Characteristic == Characteristic.Gap ? truth.GapAtTemperatureMm[i] : r.Characteristic == Characteristic.Flush ? truth.FlushMm[i] : truth.LandGapMm[i];
                Gauge gauge = Dabchick.Plan.FindGauge(r.Gauge!)!;
                double u2 = Math.Pow(gauge.UncertaintyMm!.Value / 2, 2) + gauge.ResolutionMm!.Value * gauge.ResolutionMm.Value / 12;
                sum += (r.Value - value) * (r.Value - value) / u2;
                count++;
            }
        }
        // Mean of squared normal deviates: standard deviation sqrt(2 / 18000) = 0.011.
        Assert.InRange(sum / count, 0.95, 1.05);
    }

    [Fact]
    public void The_truth_is_the_planted_movement_plus_shape() => Cases.Each(30, random =>
    {
        DemoBuild build = Dabchick.CleanBuild(random.Bits());
        foreach (DoorTruth t in build.Doors)
        {
            Point3 centre = t.Door.Centre;
            foreach (Station s in t.Door.Stations)
            {
                Vector3 moved = t.TranslationMm + t.RotationRad.Cross(s.Position - centre);
                double nominal = Dabchick.Plan.Limits.For(Characteristic.Gap, t.Door.Code, s.Zone, s.Name, "trial-fit")!.Nominal!.Value;
                Near.Absolute(nominal + s.IntoDoor.Dot(moved) + t.GapShapeMm[s.Index], t.GapMm[s.Index], 1e-12);
                Near.Absolute(s.Normal.Dot(moved) + t.FlushShapeMm[s.Index], t.FlushMm[s.Index], 1e-12);
            }
        }
    });

    [Fact]
    public void Shape_without_bulge_or_mould_shift_holds_no_rigid_movement() => Cases.Each(30, random =>
    {
        DemoBuild build = Dabchick.CleanBuild(random.Bits(), new() { MouldShift = false, LocalBulges = false });
        foreach (DoorTruth t in build.Doors)
        {
            Point3 centre = t.Door.Centre;
            Vector3 push = default, turn = default;
            foreach (Station s in t.Door.Stations)
            {
                push += t.GapShapeMm[s.Index] * s.IntoDoor + t.FlushShapeMm[s.Index] * s.Normal;
                turn += t.GapShapeMm[s.Index] * (s.Position - centre).Cross(s.IntoDoor) + t.FlushShapeMm[s.Index] * (s.Position - centre).Cross(s.Normal);
            }
            Near.Absolute(0, push.Length, 1e-10);
            Near.Absolute(0, turn.Length, 1e-7);
            Assert.True(t.GapShapeMm.Max(Math.Abs) > 0.02, "a part without any shape error is not of this shop");
        }
    });

    [Fact]
    public void Scales_of_zero_give_the_nominal_door() => Assert.All(
        Dabchick.CleanBuild(11, new() { HangScale = 0, ShapeScale = 0, NoiseScale = 0, MouldShift = false, LocalBulges = false, Stage = "final" }).Doors,
        t => Assert.All(t.Door.Stations, s =>
        {
            Near.Absolute(Dabchick.Plan.Limits.For(Characteristic.Gap, t.Door.Code, s.Zone, s.Name, "final")!.Nominal!.Value, t.GapMm[s.Index], 1e-12);
            Near.Absolute(0, t.FlushMm[s.Index], 1e-12);
            Near.Absolute(Dabchick.Plan.Limits.For(Characteristic.LandGap, t.Door.Code, s.Zone, s.Name, "final")!.Nominal!.Value, t.LandGapMm[s.Index], 1e-12);
        }));

    [Fact]
    public void Repeats_are_numbered_and_scatter_less_than_readings_of_different_places()
    {
        DemoBuild build = Dabchick.CleanBuild(2, new() { Repeats = 3 });
        IGrouping<(string, string, Characteristic), SheetRow>[] groups = [.. build.Rows.GroupBy(r => (r.Door, r.Station, r.Characteristic))];
        Assert.Contains(groups, g => g.Count() == 3);
        Assert.All(groups, g => Assert.Equal(Enumerable.Range(1, g.Count()), g.Select(r => r.Repeat!.Value)));
    }

    // Worked example of METHOD.md.
    [Fact]
    public void The_mould_shift_of_the_worked_example_is_the_one_planted()
    {
        Door door = Dabchick.Plan.FindDoor("P1")!;
        Station s = door.Find("35")!;
        Assert.Equal(new Point3(2806.459, -533.966, 597.927), s.Position);
        Near.Absolute(0, (door.Centre - new Point3(2463.778, -493.683, 580.671)).Length, 1e-3);
        Near.Absolute(0, (s.Normal - new Vector3(0.0632, -0.9980, -0.0023)).Length, 1e-4);
        Near.Absolute(0, (s.IntoDoor - new Vector3(-0.9917, -0.0625, -0.1125)).Length, 1e-4);
        Vector3 moved = new Vector3(0.30, 0, -0.20) + new Vector3(0, 0.45e-3, 0).Cross(s.Position - door.Centre);
        Near.Absolute(0, (moved - new Vector3(0.3078, 0, -0.3542)).Length, 1e-4);
        // With nothing but the mould between two builds, what differs is the mould.
        DemoOptions onlyMoulds = new() { HangScale = 0, ShapeScale = 0, LocalBulges = false };
        (DoorTruth before, DoorTruth after) = (Dabchick.CleanBuild(13, onlyMoulds).Truth("P1"), Dabchick.CleanBuild(14, onlyMoulds).Truth("P1"));
        Near.Absolute(-0.225, after.GapMm[s.Index] - before.GapMm[s.Index], 5e-4);
        Near.Absolute(0.420, after.FlushMm[s.Index] - before.FlushMm[s.Index], 5e-4);
    }
}
