using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

/// <summary>Distances and derivatives four points at a time against those of one point, whose derivatives SideFitTests holds against differences.</summary>
public class SideModelTests
{
    [Fact]
    public void Many_points_at_a_time_are_as_each_by_itself() => Cases.Each(100, random =>
    {
        bool chamfer = random.Unit() < 0.4;
        double[] p = [random.Between(-3, 3), random.Between(-0.05, 0.05), random.Between(-1e-3, 1e-3), random.Between(-1, 1), random.Between(-0.05, 0.05), random.Between(-1e-3, 1e-3),
            random.Between(-0.1, 0.1), random.Between(-0.02, 0.02), random.Between(-0.004, 0.004), random.Between(-1e-5, 1e-5), random.Between(-0.1, 0.1), random.Between(chamfer ? 0.3 : 0, 3), chamfer ? random.Between(0.3, 3) : 0];
        SideModel model = new(new(chamfer, p));
        int count = 1 + random.Below(16);
        const int Stride = 16;
        double[] s = [.. Enumerable.Range(0, count).Select(_ => random.Between(-15, 15))], x = [.. s.Select(_ => random.Between(-20, 3))], y = [.. s.Select(_ => random.Between(-7, 1))];
        double[] columns = new double[SideModel.Columns * Stride];
        model.Rows(s, x, y, columns, Stride);
        Span<double> one = stackalloc double[SideParameters.Count];
        for (int i = 0; i < count; i++)
        {
            (double distance, PieceKind piece) = model.At(s[i], x[i], y[i], one);
            Near.Absolute(distance, columns[SideModel.DistanceColumn * Stride + i], 1e-12);
            Assert.Equal((double)piece, columns[SideModel.PieceColumn * Stride + i]);
            for (int k = 0; k < one.Length; k++) Near.Absolute(one[k], columns[k * Stride + i], 1e-10 * (1 + Math.Abs(one[k])));
            (double off, PieceKind foot, _) = model.Foot(s[i], x[i], y[i]);
            Near.Absolute(distance, off, 1e-12);
            Assert.Equal(piece, foot);
        }
    });
}
