using GapFlush.Doubts;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Doubts;

/// <summary>Plans that are not the demo: few stations, flat doors, another curvature, gauges not named.</summary>
public class SmallPlanTests
{
    [Theory]
    [InlineData(6, true)]
    [InlineData(8, true)]
    [InlineData(12, false)]
    [InlineData(24, true)]
    [InlineData(36, false)]
    public void Clean_sheets_of_other_plans_stay_quiet(int stations, bool flat)
    {
        FitPlan plan = Plan(stations, flat);
        int raised = 0;
        string last = "";
        for (ulong seed = 0; seed < 100; seed++)
        {
            if (DoubtFinder.Find(plan, "T1-001", "trial", [Sheet(plan, new(seed), flat)]) is { Count: > 0 } doubts)
            {
                raised++;
                last = Invariant($"seed {seed}: {doubts[0].Kind} {doubts[0].Door} {doubts[0].Seen}");
            }
        }
        Assert.True(raised <= 2, Invariant($"{raised} of 100; {last}"));
    }

    // On flat doors an in-out shift and a gauge off zero are the same; nobody may claim to know.
    [Fact]
    public void Flat_doors_say_nothing_about_a_gauges_zero()
    {
        FitPlan plan = Plan(24, flat: true);
        for (ulong seed = 0; seed < 20; seed++)
        {
            ReadingLog log = Sheet(plan, new(seed), flat: true);
            Assert.Empty(DoubtFinder.Find(plan, "T1-001", "trial", [log with { Readings = [.. log.Readings.Select(r => r.Characteristic == Characteristic.Flush ? r.Says(r.Value + 0.35, 2) : r)] }]));
        }
    }

    [Fact]
    public void No_readings_raise_no_doubt() => Assert.Empty(DoubtFinder.Find(Shop.Plan, "T1-001", null, []));

    /// <summary>The shop's plan with every k-th station of its doors, laid flat if asked.</summary>
    private static FitPlan Plan(int stations, bool flat) => Shop.Plan with
    {
        Doors = [.. Shop.Plan.Doors.Select(d =>
        {
            Station[] kept = [.. Enumerable.Range(0, stations).Select(i => d.Stations[i * d.Stations.Count / stations])];
            return d with
            {
                Stations = [.. kept.Take(d.Stations.Count < stations ? d.Stations.Count : stations).Distinct().Select((s, i) => flat
                    ? new Station(s.Name, s.Zone, new(s.Position.X, -500, s.Position.Z + (d.Hand == Hand.None ? s.Position.Y : 0)), new(0, -1, 0), Flat(s.Tangent, d), Flat(s.IntoDoor, d), i, s.AlongMm)
                    : new Station(s.Name, s.Zone, s.Position, s.Normal, s.Tangent, s.IntoDoor, i, s.AlongMm))],
            };
        })],
    };

    private static Vector3 Flat(Vector3 v, Door d) => new Vector3(v.X, 0, d.Hand == Hand.None ? v.Y : v.Z).ToUnit();

    private static ReadingLog Sheet(FitPlan plan, SeededRandom random, bool flat)
    {
        List<Reading> readings = [];
        foreach (Door door in plan.Doors)
        {
            Vector3 t = new(random.Normal(0, 0.3), random.Normal(0, 0.3), random.Normal(0, 0.3)), w = new(random.Normal(0, 6e-4), random.Normal(0, 6e-4), random.Normal(0, 6e-4));
            (double a, double b, double phase) = (random.Normal(0, 0.06), random.Normal(0, 0.06), random.Between(0, 6.28));
            foreach (Characteristic what in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
            {
                foreach (Station s in door.Stations)
                {
                    double angle = 2 * Math.PI * s.AlongMm / door.PerimeterMm + phase;
                    double shape = a * Math.Cos(2 * angle) + b * Math.Sin(3 * angle), moved = (t + w.Cross(s.Position - door.Centre)).Dot(what == Characteristic.Gap ? s.IntoDoor : s.Normal);
                    double nominal = plan.Limits.For(what, door.Code, s.Zone, s.Name, "trial")!.Nominal!.Value;
                    Reading r = new()
                    {
                        Build = "T1-001",
                        Door = door.Code,
                        Station = s.Name,
                        Characteristic = what,
                        Value = 0,
                        WrittenValue = "",
                        WrittenUnit = "mm",
                        Stage = "trial",
                        Gauge = flat ? null : what == Characteristic.Gap ? "WG-1" : "SG-1",
                        Source = "r.csv",
                        Line = readings.Count + 2,
                    };
                    double value = nominal + moved + shape + random.Normal(0, what == Characteristic.Gap ? 0.05 : 0.03);
                    readings.Add(what == Characteristic.Gap ? r.Says(Math.Round(value * 20) / 20, 2) : r.Says(value, 2));
                }
            }
        }
        return new("r.csv", readings, "", []);
    }
}
