using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests.Adjustment;

public class DoorAdjustmentTests
{
    [Fact]
    public void A_bulge_and_a_twist_are_named_and_not_chased()
    {
        Door door = SampleDoor.Make();
        FitPlan plan = HeldDoor.Plan(door, new LimitRow(null, null, null, Characteristic.Twist, null, 0, new Limits(-0.5, 0.5), 9));
        IReadOnlyList<Station> corners = Twist.Corners(door)!;
        SmallDisplacement hung = new(new(0.3, 0.9, -0.3), new(0.0008, 0, 0), door.Centre);   // sunk, so that flush is out nearly all round
        DoorAdjustment plain = Advice(plan, door, hung, (_, _) => 0);
        DoorAdjustment shaped = Advice(plan, door, hung, (s, c) => c != Characteristic.Flush ? 0
            : (s.Index == 6 ? 1.6 : 0) + (corners.Any(k => k.Index == s.Index) ? (corners.ToList().FindIndex(k => k.Index == s.Index) % 2 == 0 ? 0.22 : -0.22) : 0));
        Assert.True(plain.IsAdvised);
        Assert.Empty(plain.StaysOutside);
        // What is advised undoes the hanging whether or not the door has a bulge and a twist.
        foreach (Station s in door.Stations)
        {
            Vector3 left = hung.At(s.Position) + shaped.Displacement.At(s.Position);
            Assert.InRange(Math.Abs(left.Dot(s.Normal)), 0, 0.35);
        }
        StaysOutside bulge = Assert.Single(shaped.StaysOutside, s => s.Row.Measurement.Station == door.Stations[6].Name && s.Row.Measurement.Characteristic == Characteristic.Flush);
        Assert.Equal(StaysOutsideKind.LocalShape, bulge.Kind);
        Assert.InRange(bulge.ExcessMm!.Value, 0.7, 1.3);
        StaysOutside twist = Assert.Single(shaped.StaysOutside, s => s.Row.Measurement.Characteristic == Characteristic.Twist);
        Assert.Equal(StaysOutsideKind.Twist, twist.Kind);
    }

    [Fact]
    public void A_door_that_is_within_is_left_alone()
    {
        Door door = SampleDoor.Make();
        DoorAdjustment advice = Advice(HeldDoor.Plan(door), door, new(default, default, door.Centre), (_, _) => 0);
        Assert.False(advice.IsAdvised);
        Assert.Contains("within its limits", advice.WhyNoMoves);
        Assert.Equal(advice.Before.Counts, advice.After.Counts);
    }

    [Fact]
    public void What_is_free_and_what_fights_is_said_by_name()
    {
        Door door = SampleDoor.Make();
        FitPlan six = HeldDoor.Plan(door);
        Assert.Equal((6, 0), (DoorHolding.Of(six, door).Rank, DoorHolding.Of(six, door).Fighting.Count));
        DoorHolding loose = DoorHolding.Of(six with { Adjusters = [.. six.Adjusters.Where(a => a.Name != "height")] }, door);
        Assert.Equal(5, loose.Rank);
        Assert.Contains(loose.Words, w => w.StartsWith("The door is not held: upper-in-out", StringComparison.Ordinal) && w.Contains("shift along z"));
        Adjuster second = six.Adjusters[2] with { Name = "second-latch", Position = six.Adjusters[2].Position + new Vector3(0, 0, 300) };
        DoorHolding bent = DoorHolding.Of(six with { Adjusters = [.. six.Adjusters, second] }, door);
        Assert.Equal((6, 1), (bent.Rank, bent.Surplus));
        Assert.Equal(["upper-in-out", "lower-in-out", "latch", "second-latch"], Assert.Single(bent.Fighting).Select(a => a.Name));
        Assert.True(bent.Misfit([0, 0, 0, 0, 0, 0, 1]).Max(Math.Abs) > 0.1);
    }

    [Fact]
    public void The_displacement_of_the_moves_holds_every_adjuster_to_its_move() => Cases.Each(50, random =>
    {
        Door door = SampleDoor.Make();
        DoorHolding holding = DoorHolding.Of(HeldDoor.Plan(door), door);
        double[] moves = [.. holding.Adjusters.Select(_ => random.Between(-1, 1))];
        SmallDisplacement x = holding.Displacement(moves);
        for (int i = 0; i < moves.Length; i++) Near.Absolute(moves[i], holding.Adjusters[i].Direction.Dot(x.At(holding.Adjusters[i].Position)), 1e-12);
    });

    [Fact]
    public void The_judged_door_after_the_moves_agrees_with_the_score_of_the_search()
    {
        Door door = SampleDoor.Make();
        FitPlan plan = HeldDoor.Plan(door);
        DoorAdjustment advice = Advice(plan, door, new(new(0.5, 0.9, 0.4), new(0.0012, 0, 0.0006), door.Centre), (_, _) => 0);
        Assert.True(advice.IsAdvised);
        Assert.Equal(advice.ScoreAfter.Outside, advice.After.Rows.Count(r => r.Excess > FitProblem.Inside && r.Measurement.Characteristic != Characteristic.Twist));
        double margin = advice.After.Rows.Where(r => r.Limits is not null && r.Measurement.Characteristic != Characteristic.Twist && r.Excess <= FitProblem.Inside)
            .Min(r => Math.Min(r.Measurement.Value!.Value - (r.Limits!.Lower ?? -99), (r.Limits.Upper ?? 99) - r.Measurement.Value.Value) - r.Measurement.ExpandedUncertainty!.Value);
        Near.Absolute(margin, advice.ScoreAfter.WorstMarginMm, 1e-9);
    }

    private static DoorAdjustment Advice(FitPlan plan, Door door, SmallDisplacement hung, Func<Station, Characteristic, double> shape)
    {
        List<Measurement> read = SamplePlan.Full(door, (s, c) => shape(s, c) + (c == Characteristic.Gap ? s.IntoDoor : s.Normal).Dot(hung.At(s.Position)));
        return DoorAdjustment.For(plan, DoorResult.For(plan, door, "007", null, read, []));
    }
}
