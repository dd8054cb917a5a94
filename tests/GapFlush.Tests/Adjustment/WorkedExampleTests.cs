using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Adjustment;

/// <summary>The worked example of Adjustment/METHOD.md, figure by figure: the numbers there were worked out by hand.</summary>
public class WorkedExampleTests
{
    [Fact]
    public void The_example_of_the_method_comes_out_as_it_is_written()
    {
        // Out is -y; x aft, z up; four stations in the middles of the sides of a flat door.
        (Vector3 n, Point3 c) = (new(0, -1, 0), new(0, 0, 0));
        (string Name, double X, double Z, Vector3 U, double Flush)[] stations = [("header", 0, 450, new(0, 0, -1), -1.0), ("aft", 360, 0, new(-1, 0, 0), 0), ("sill", 0, -450, new(0, 0, 1), 0.3), ("forward", -360, 0, new(1, 0, 0), -0.5)];
        Door door = SampleDoor.Make(6) with { Stations = [.. stations.Select((s, i) => new Station(s.Name, s.Name, new(s.X, 0, s.Z), n, n.Cross(s.U), s.U, i, 600 * i))] };
        Adjuster Held(string name, double x, double z, Vector3 d, double most, double? step) => new(door.Code, name, c + new Vector3(x, 0, z), d, -most, most, step);
        FitPlan plan = SamplePlan.Make(door) with
        {
            Adjusters = [Held("upper-hinge", -350, 300, n, 2, 0.25), Held("lower-hinge", -350, -300, n, 0, null), Held("latch", 350, 0, n, 0, null),
                Held("upper-fixed", -350, 300, new(1, 0, 0), 0, null), Held("lower-fixed", -350, -300, new(1, 0, 0), 0, null), Held("height", -350, -300, new(0, 0, 1), 0, null)],
        };
        List<Measurement> read = [.. stations.SelectMany((s, i) => (Measurement[])[SamplePlan.Measured(door, i, Characteristic.Gap, 5), SamplePlan.Measured(door, i, Characteristic.Flush, s.Flush)])];
        DoorAdjustment advice = DoorAdjustment.For(plan, DoorResult.For(plan, door, "007", null, read, []));

        AdjusterEffect effect = advice.Effects[0];
        Assert.Equal([1.00, -0.007, -0.50, 0.507], effect.Stations.Select(s => Math.Round(s.FlushMm, 3)));
        Assert.All(effect.Stations, s => Near.Absolute(0, s.GapMm, 1e-12));
        Assert.Equal((1, 0.40), (advice.ScoreBefore.Outside, Math.Round(advice.ScoreBefore.WorstExcessMm, 9)));
        Assert.Equal((0.867, 0.367), (Math.Round(advice.Moves[0].SteplessMm, 3), Math.Round(advice.ScoreStepless.WorstMarginMm, 3)));
        Assert.Equal((1.00, 0.30), (advice.Moves[0].MoveMm, Math.Round(advice.ScoreAfter.WorstMarginMm, 9)));
        Assert.Equal([0.0, -0.007, -0.2, 0.007], advice.After.Rows.Where(r => r.Measurement.Characteristic == Characteristic.Flush).Select(r => Math.Round(r.Measurement.Value!.Value, 3) + 0.0));
    }
}
