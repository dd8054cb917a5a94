using System.Globalization;
using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Adjustment;

/// <summary>The Chebyshev (minimax) positions of fixtures/reference/geometry/stations, found by the advice itself: with limits so wide that nothing is outside, the largest worst margin
/// is the limit less the smallest largest deviation. Values computed there in 60 digits, optimality certified by non-negative multipliers.</summary>
public class ReferenceMovesTests
{
    private const double Wide = 10;

    [Theory]
    [InlineData("door_a")]
    [InlineData("door_b_outlier")]
    public void Stepless_moves_bring_the_door_where_the_largest_deviation_is_least(string name)
    {
        string folder = Fixture.At("reference", "geometry", "stations");
        Dictionary<string, double> expected = File.ReadLines(Path.Combine(folder, "expected.csv")).Skip(1).Select(l => l.Split(',')).Where(c => c[0] == name && c[1].StartsWith("minimax.", StringComparison.Ordinal) && c[1] != "minimax.active")
            .ToDictionary(c => c[1]["minimax.".Length..], c => Number(c[2]));
        string[] given = File.ReadLines(Path.Combine(folder, "parameters.csv")).First(l => l.StartsWith(name + ",", StringComparison.Ordinal)).Split(',');
        (double nominal, Point3 origin) = (Number(given[1]), new(Number(given[2]), Number(given[3]), Number(given[4])));
        string[][] rows = [.. File.ReadLines(Path.Combine(folder, name + ".csv")).Skip(1).Select(l => l.Split(','))];
        // The edge normal there points out of the door; u points into it.
        Door door = SampleDoor.Make(6) with
        {
            Stations = [.. rows.Select((r, i) => new Station(r[0], "round", new(Number(r[1]), Number(r[2]), Number(r[3])), Vector(r, 7), Vector(r, 7).Cross(Vector(r, 4)), -Vector(r, 4), i, i))],
        };
        Adjuster Along(string label, Vector3 at, Vector3 d) => new(door.Code, label, origin + at, d, -Wide, Wide, null);
        (Vector3 fs, Vector3 bl, Vector3 wl) = (new(1, 0, 0), new(0, 1, 0), new(0, 0, 1));
        FitPlan plan = SamplePlan.Make(door) with
        {
            DecisionRule = DecisionRule.SimpleAcceptance,
            Limits = new([new(null, null, null, Characteristic.Gap, null, nominal, new Limits(nominal - Wide, nominal + Wide), 2), new(null, null, null, Characteristic.Flush, null, 0, new Limits(-Wide, Wide), 3)]),
            Adjusters = [Along("1", default, fs), Along("2", default, bl), Along("3", default, wl), Along("4", 400 * wl, bl), Along("5", 400 * fs, wl), Along("6", 400 * fs, bl)],
        };
        List<Measurement> read = [.. rows.SelectMany((r, i) => (Measurement[])[SamplePlan.Measured(door, i, Characteristic.Gap, Number(r[10]), 0.001), SamplePlan.Measured(door, i, Characteristic.Flush, Number(r[11]), 0.001)])];
        DoorAdjustment advice = DoorAdjustment.For(plan, DoorResult.For(plan, door, "007", null, read, []));
        Near.Absolute(expected["max_after"], Wide - advice.ScoreStepless.WorstMarginMm, 1e-8);
        // The moves undo the displacement that is found there.
        double[] moves = [.. advice.Moves.Select(m => m.SteplessMm)];
        (Vector3 t, Vector3 w) = (Found("t", "mm"), Found("r", "rad"));
        for (int i = 0; i < moves.Length; i++) Near.Absolute(-plan.Adjusters[i].Direction.Dot(t + w.Cross(plan.Adjusters[i].Position - origin)), moves[i], 1e-6);

        Vector3 Found(string what, string unit) => new(expected[$"found_displacement.{what}_fs_{unit}"], expected[$"found_displacement.{what}_bl_{unit}"], expected[$"found_displacement.{what}_wl_{unit}"]);
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static Vector3 Vector(string[] row, int at) => new Vector3(Number(row[at]), Number(row[at + 1]), Number(row[at + 2])).ToUnit();
}
