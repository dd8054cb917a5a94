using GapFlush.Geometry;
using GapFlush.Hanging;

namespace GapFlush.Tests.Hanging;

public class SmallDisplacementTests
{
    [Fact]
    public void A_displacement_can_be_printed() =>
        Assert.Equal("shift (0.5, 0, -0.25) mm, turn (0, 0.001, 0) rad about (1, 2, 3)", new SmallDisplacement(new(0.5, 0, -0.25), new(0, 0.001, 0), new Point3(1, 2, 3)).ToString());

    [Fact]
    public void The_opposite_undoes_it_at_every_place() => Cases.Each(50, random =>
    {
        SmallDisplacement d = new(new(random.Normal(), random.Normal(), random.Normal()), new(random.Normal(), random.Normal(), random.Normal()), new Point3(1, 2, 3));
        Point3 place = new(random.Between(-9, 9), random.Between(-9, 9), random.Between(-9, 9));
        Near.Absolute(0, (d.At(place) + d.Opposite.At(place)).Length, 1e-12);
    });
}
