using GapFlush.Drainage;
using GapFlush.Geometry;

namespace GapFlush.Tests.Drainage;

public class AttitudeBoxTests
{
    [Fact]
    public void Least_fall_is_never_beaten_by_a_dense_search_and_is_met_by_it() => Cases.Each(200, random =>
    {
        // Half the steps are steep posts, where the worst attitude lies inside the box.
        bool post = random.Unit() < 0.5;
        Vector3 step = post ? new(random.Between(-20, 20), random.Between(-20, 20), random.Between(-300, 300)) : new(random.Between(50, 300), random.Between(-50, 50), random.Between(-10, 10));
        AttitudeBox box = RandomFloors.Box(random);
        WorstFall worst = box.LeastFall(step);
        double found = double.PositiveInfinity;
        for (int i = 0; i <= 60; i++)
        {
            for (int k = 0; k <= 60; k++)
                found = Math.Min(found, Fall(step, box.PitchMinDeg + (box.PitchMaxDeg - box.PitchMinDeg) * i / 60, box.RollMinDeg + (box.RollMaxDeg - box.RollMinDeg) * k / 60));
        }
        // Angles, because a step that stands upright within the box has no finite slope.
        // A grid step is at most 0.083 degrees each way, 0.002 rad together; angle to the ground moves by no more.
        Assert.InRange(Math.Atan(found) - Math.Atan(worst.Slope.Ratio), -1e-9, 0.0021);
        Near.Absolute(Math.Atan(worst.Slope.Ratio), Math.Atan(Fall(step, worst.PitchDeg, worst.RollDeg)), 1e-7);
    });

    [Fact]
    public void Ranges_used_by_the_search_agree_with_the_candidates() => Cases.Each(500, random =>
    {
        Vector3 d = new(random.Between(-300, 300), random.Between(-300, 300), random.Between(-300, 300));
        AttitudeBox box = RandomFloors.Box(random);
        WorstFall least = box.LeastFall(d);
        Near.Absolute(d.Dot(UpVector.For(least.PitchDeg, least.RollDeg)), box.GreatestHeight(d), 1e-10);
    });

    [Theory]
    [InlineData(1, 0, 0, 0)]
    [InlineData(0, 0, 2, 1)]
    [InlineData(double.NaN, 0, 0, 0)]
    [InlineData(0, 90, 0, 0)]
    public void Ends_out_of_order_or_upright_are_refused(double p0, double p1, double q0, double q1) => Assert.Throws<ArgumentException>(() => new AttitudeBox(p0, p1, q0, q1));

    [Fact]
    public void Nose_up_raises_what_is_forward_and_starboard_wing_down_raises_port()
    {
        // x aft, y starboard: one degree over 1000 mm is 17.45 mm.
        Near.Absolute(-17.4524, new Vector3(1000, 0, 0).Dot(UpVector.For(1, 0)), 1e-4);
        Near.Absolute(-17.4524, new Vector3(0, 1000, 0).Dot(UpVector.For(0, 1)), 1e-4);
    }

    private static double Fall(Vector3 step, double pitch, double roll)
    {
        double drop = -step.Dot(UpVector.For(pitch, roll));
        return drop / Math.Sqrt(Math.Max(0, step.Dot(step) - drop * drop));
    }
}
