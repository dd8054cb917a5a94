using GapFlush.Demo;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Tests.Workflows;

/// <summary>Seal compression and closing load over builds: derived as an inspection derives them, and studied like gap and flush.</summary>
public class ManyBuildsTests
{
    private static readonly IReadOnlyList<Reading> Readings = [.. Dabchick.CleanSet(4).SelectMany(b => b.Readings).Where(r => r.Door == "P1")];

    [Fact]
    public void The_seal_of_every_build_is_what_an_inspection_of_that_build_says()
    {
        IReadOnlyList<Measurement> all = ManyBuilds.Measure(Dabchick.Plan, null, Readings);
        foreach (string build in Readings.Select(r => r.Build).Distinct())
        {
            DoorSeal seal = DoorSeals.Of(Dabchick.Plan, build, null, PlanConditions.Apply(Dabchick.Plan, null, [.. Readings.Where(r => r.Build == build)])).Single(s => s.Door.Code == "P1");
            Measurement[] of = [.. all.Where(m => m.Build == build)];
            Assert.Equal(seal.Compressions.Select(c => (c.Station, c.Value)), of.Where(m => m.Characteristic == Characteristic.Compression).Select(m => (m.Station, m.Value)));
            Assert.Equal(seal.ClosingLoad.Value, Assert.Single(of, m => m.Characteristic == Characteristic.ClosingLoad).Value);
            Assert.Equal(seal.HandleForce.Value, Assert.Single(of, m => m.Characteristic == Characteristic.HandleForce).Value);
        }
    }

    [Fact]
    public void Compression_has_a_band_and_closing_load_one_limit_and_both_are_charted()
    {
        IReadOnlyList<Measurement> all = ManyBuilds.Measure(Dabchick.Plan, null, Readings);
        CapabilityLine[] compression = [.. CapabilityStudy.Run(Dabchick.Plan, all, characteristic: Characteristic.Compression).Lines];
        Assert.Equal(54 * 2, compression.Length);   // two revisions of the door mould
        Assert.All(compression, l => Assert.NotNull(l.Capability.Limits!.Lower));
        Assert.All(compression.Where(l => l.Capability.Method == "normal"), l => Assert.NotNull(l.Capability.Pp));
        CapabilityLine load = CapabilityStudy.Run(Dabchick.Plan, all, characteristic: Characteristic.ClosingLoad).Lines[0];
        Assert.Null(load.Key.Station);
        Assert.Null(load.Capability.Limits!.Lower);
        Assert.Null(load.Capability.Pp);
        Assert.True(load.Capability.PpkInterval!.Value.Holds(load.Capability.Ppk!.Value));
        TrendStudy trend = TrendStudy.Run(Dabchick.Plan, all, new() { Characteristic = Characteristic.ClosingLoad });
        Assert.All(trend.Lines, l => Assert.NotNull(l.Trend));
        Assert.NotNull(trend.Yield);
        Assert.Empty(trend.Missing);
    }

    [Fact]
    public void By_zone_compression_is_pooled_with_builds_apart_from_places()
    {
        IReadOnlyList<Measurement> all = ManyBuilds.Measure(Dabchick.Plan, null, Readings);
        CapabilityLine[] zones = [.. CapabilityStudy.Run(Dabchick.Plan, all, CapabilityScope.Zone, Characteristic.Compression).Lines];
        Assert.Equal(8 * 2, zones.Length);
        Assert.All(zones, l => Assert.InRange(l.Capability.Count, 2, 30));
        Assert.All(zones, l => Assert.NotNull(l.Capability.SdBetweenBuilds));
    }

    [Fact]
    public void A_predicted_compression_is_left_out_and_that_is_told()
    {
        string[] builds = [.. Readings.Select(r => r.Build).Distinct()];
        // The first build has no land gap read, the second a third of them: its read stations count, its load does not.
        Reading[] readings = [.. Readings.Where(r => r.Characteristic != Characteristic.LandGap || r.Build != builds[0] && (r.Build != builds[1] || int.Parse(r.Station, System.Globalization.CultureInfo.InvariantCulture) % 3 == 0))];
        IReadOnlyList<Measurement> all = ManyBuilds.Measure(Dabchick.Plan, null, readings);
        Assert.DoesNotContain(all, m => m.Build == builds[0] && (m.Characteristic == Characteristic.Compression || m.Characteristic == Characteristic.ClosingLoad));
        Assert.Equal(readings.Where(r => r.Build == builds[1] && r.Characteristic == Characteristic.LandGap).Select(r => r.Station).Distinct().Count(), all.Count(m => m.Build == builds[1] && m.Characteristic == Characteristic.Compression));
        Assert.DoesNotContain(all, m => m.Build == builds[1] && m.Characteristic == Characteristic.ClosingLoad);
        CapabilityStudy study = CapabilityStudy.Run(Dabchick.Plan, all);
        Assert.Contains(study.Missing, m => m.StartsWith($"P1: no seal compression from 1 of {builds.Length} builds", StringComparison.Ordinal));
        Assert.Contains(study.Missing, m => m.StartsWith($"P1: no closing load or handle force from 2 of {builds.Length} builds", StringComparison.Ordinal));
        Assert.Empty(CapabilityStudy.Run(Dabchick.Plan, all, characteristic: Characteristic.Gap).Missing);
    }

    // Readings of two stages, builds in mixed order and out of the order of making, one build cut off half way, one the plan does not list.
    [Theory]
    [InlineData(CapabilityScope.Station, null, null)]
    [InlineData(CapabilityScope.Zone, null, null)]
    [InlineData(CapabilityScope.Door, null, "trial-fit")]
    [InlineData(CapabilityScope.Station, "closing_load", null)]
    [InlineData(CapabilityScope.Zone, "compression", null)]
    [InlineData(CapabilityScope.Station, "gap_range", null)]
    public void From_readings_the_study_says_what_it_says_from_measurements(CapabilityScope scope, string? code, string? stage)
    {
        string[] stages = [.. Dabchick.Plan.Stages.Select(s => s.Name)];
        Reading[] some = [.. Readings.Select((r, i) => i % 7 == 3 ? r with { Stage = stages[^1] } : r).OrderBy(r => r.Station, StringComparer.Ordinal).Reverse().Skip(40)];
        Reading[] readings = [.. some, .. some.Where(r => r.Build == some[0].Build).Select(r => r with { Build = "not listed", Value = r.Value + 0.1 })];
        AssertSame(Dabchick.Plan, stage, readings, scope, code is null ? null : Characteristic.Find(code));
    }

    // Everything that a value or the weight of a gap in a taper depends on, and everything for which a build is measured in full.
    [Theory]
    [InlineData("repeats")]
    [InlineData("temperatures")]
    [InlineData("gauges")]
    [InlineData("blank stages")]
    [InlineData("stages that cannot be compared")]
    [InlineData("definitions")]
    [InlineData("land gaps missing")]
    [InlineData("compression read")]
    [InlineData("gaps missing")]
    public void From_readings_out_of_the_usual_it_says_the_same(string what)
    {
        string[] builds = [.. Readings.Select(r => r.Build).Distinct()];
        IEnumerable<Reading> changed = Readings.Where(r => Array.IndexOf(builds, r.Build) < 9).SelectMany((r, i) =>
        {
            int build = Array.IndexOf(builds, r.Build);
            return what switch
            {
                "repeats" => Enumerable.Range(0, 1 + i % 3).Select(k => r with { Repeat = k + 1, Value = r.Value + 0.013 * k, TemperatureC = k == 2 ? null : 24 + k, Stage = k == 1 ? "final" : r.Stage }),
                "temperatures" => [r with { TemperatureC = build % 3 == 0 ? null : 11.5 + 3 * build + 0.1 * (i % 2) }],
                "gauges" => [r with { Gauge = i % 5 == 0 ? null : i % 7 == 0 ? "unknown" : i % 3 == 0 ? "SR-01" : r.Gauge, ExpandedUncertainty = i % 11 == 0 ? 0.2 : null, WrittenDecimals = i % 4, WrittenUnit = i % 13 == 0 ? "in" : "mm" }],
                "blank stages" => [r with { Stage = build % 3 == 0 || build == 1 && i % 2 == 0 ? null : r.Stage }],
                "stages that cannot be compared" => [r with { Stage = build == 2 && i % 9 == 0 ? "unheard of" : build == 3 ? "final" : r.Stage }],
                "definitions" => [r with { Definition = r.Characteristic == Characteristic.Flush ? build == 4 && i % 3 == 0 ? "hinge-line" : "MID-GAP" : null }],
                "land gaps missing" => r.Characteristic == Characteristic.LandGap && (build == 1 || build == 2 && i % 4 == 0 || build == 3 && i % 4 != 0) ? [] : (Reading[])[r],
                "compression read" => i % 40 == 0 ? [r, r with { Characteristic = Characteristic.Compression, Value = 30 }] : [r],
                _ => r.Characteristic != Characteristic.LandGap && i % (5 + build) == 0 ? [] : [r],
            };
        });
        Reading[] readings = [.. changed];
        Assert.NotEqual(Readings.Take(readings.Length), readings);
        FitPlan single = Dabchick.Plan with { Stages = [Dabchick.Plan.Stages[0]] }, weightless = Dabchick.Plan with { Limits = new([.. Dabchick.Plan.Limits.Rows.Where(r => r.Characteristic != Characteristic.GapTaper)]) };
        foreach (FitPlan plan in (FitPlan[])[Dabchick.Plan, single, weightless])
        {
            foreach ((string? stage, bool across) in ((string?, bool)[])[(null, false), (null, true), (Dabchick.Plan.Stages[0].Name, false)])
            {
                ValueSeries[] one = [.. MeasuredSeries.Sort(plan, ManyBuilds.Measure(plan, stage, readings), across).Select(ValueSeries.Of)];
                IReadOnlyList<ValueSeries> other = ValueSeries.Of(plan, stage, BareReading.Of(readings), null, across);
                Assert.NotEmpty(one);
                Assert.Equal(one.Select(s => s.Key), other.Select(s => s.Key));
                Assert.All(one.Zip(other), p =>
                {
                    Assert.Equal(p.First.Builds, p.Second.Builds);
                    Assert.Equal(p.First.Values.Select(BitConverter.DoubleToInt64Bits), p.Second.Values.Select(BitConverter.DoubleToInt64Bits));
                });
            }
        }
    }

    [Fact]
    public void Builds_without_anything_out_of_the_usual_need_not_be_measured_in_full()
    {
        BuildValues values = new(Dabchick.Plan, null, ManyBuilds.Limited(Dabchick.Plan), new());
        foreach (IGrouping<string, Reading> build in Readings.GroupBy(r => r.Build))
        {
            (StudiedDoor door, double[] row) = Assert.Single(values.Of([BareReading.Of([.. build])])!);
            Assert.Equal("P1", door.Door.Code);
            Assert.Equal(ManyBuilds.Measure(Dabchick.Plan, null, [.. build]).Count(m => m.Value is not null), row.Count(v => !double.IsNaN(v)));
        }
    }

    private static void AssertSame(FitPlan plan, string? stage, IReadOnlyList<Reading> readings, CapabilityScope scope, Characteristic? characteristic)
    {
        foreach (bool across in (bool[])[false, true])
        {
            CapabilityStudy one = CapabilityStudy.Run(plan, ManyBuilds.Measure(plan, stage, readings), scope, characteristic, across);
            CapabilityStudy other = CapabilityStudy.OfReadings(plan, stage, readings, scope, characteristic, across);
            Assert.NotEmpty(one.Lines);
            Assert.Equal(one.Missing, other.Missing);
            Assert.Equal(one.Answer, other.Answer);
            Assert.Equal(one.Lines.Select(l => l.Key), other.Lines.Select(l => l.Key));
            Assert.All(one.Lines.Zip(other.Lines), p =>
            {
                Assert.Equal(p.First.Builds, p.Second.Builds);
                Assert.Equal(p.First.Values.Select(BitConverter.DoubleToInt64Bits), p.Second.Values.Select(BitConverter.DoubleToInt64Bits));
                Assert.Equal((p.First.Capability.Method, p.First.Capability.Ppk, p.First.Note), (p.Second.Capability.Method, p.Second.Capability.Ppk, p.Second.Note));
            });
        }
    }

    [Fact]
    public void What_the_plan_does_not_limit_is_not_derived()
    {
        FitPlan plan = Dabchick.Plan with { Limits = new([.. Dabchick.Plan.Limits.Rows.Where(r => r.Characteristic != Characteristic.Compression && r.Characteristic != Characteristic.HandleForce)]) };
        IReadOnlyList<Measurement> all = ManyBuilds.Measure(plan, null, [.. Readings.Where(r => r.Build == Readings[0].Build)]);
        Assert.DoesNotContain(all, m => m.Characteristic == Characteristic.Compression || m.Characteristic == Characteristic.HandleForce);
        Assert.Contains(all, m => m.Characteristic == Characteristic.ClosingLoad);
    }
}
