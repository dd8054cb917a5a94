using GapFlush.Numerics;
using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

public class SideCellsTests
{
    // Points lie exactly on the outline: cells of a curved edge must not cut its corner.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Cells_of_exact_points_lie_on_the_outline(bool chamfer)
    {
        SideParameters truth = Truth(chamfer);
        SideCells cells = SideCells.Of(Points(truth, 0, new SeededRandom(1)), truth, 0.02, 15, 5);
        Assert.InRange(cells.Count, 150, 400);
        Span<double> unused = stackalloc double[SideParameters.Count];
        SideModel model = new(truth);
        for (int i = 0; i < cells.Count; i++) Assert.InRange(model.At(cells.S[i], cells.X[i], cells.Y[i], unused).Distance, -1e-9, 1e-9);
    }

    [Fact]
    public void A_foot_and_its_distance_give_the_point_back() => Cases.Each(300, random =>
    {
        SideModel model = new(Truth(random.Unit() < 0.5));
        (double s, double x, double y) = (random.Between(-15, 15), random.Between(-20, -1), random.Between(-6, 0.3));
        (double distance, PieceKind piece, double place) = model.Foot(s, x, y);
        if (Math.Abs(distance) > 0.3) return;
        (double backX, double backY) = model.Over(s, piece, place, distance);
        Near.Absolute(x, backX, 1e-8);
        Near.Absolute(y, backY, 1e-8);
    });

    // Truth planted 60 times: errors over their stated standard deviation have a mean square of 1, within what 60 draws of 12 parameters scatter (about one part in ten).
    [Theory]
    [InlineData(0.02, 0.25)]
    [InlineData(0.08, 0.6)]
    public void Stated_uncertainties_are_those_of_the_errors(double noise, double pitch)
    {
        SideParameters truth = Truth(false);
        double sum = 0;
        int count = 0;
        for (ulong seed = 1; seed <= 60; seed++)
        {
            SidePoints points = Points(truth, noise, new SeededRandom(seed), pitch);
            (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
            bool[] free = StationFit.Free(false, flat: false);
            SideFit start = SideFit.Run(new(points.S[..2000], points.X[..2000], points.Y[..2000]), truth, [.. Enumerable.Range(0, SideParameters.Count).Select(k => k == SideParameters.Y)], prior, [0.2])!;
            SideFit fit = SideFit.OverCells(points, start, free, prior, null, 15, 5, 3)!;
            Assert.True(fit.Converged);
            Assert.InRange(fit.NoiseMm, 0.93 * noise, 1.07 * noise);
            for (int k = 0; k < SideParameters.Count; k++)
            {
                if (!free[k]) continue;
                sum += Math.Pow(fit.Parameters.Values[k] - truth.Values[k], 2) / fit.Covariance[k, k];
                count++;
            }
        }
        Assert.InRange(sum / count, 0.8, 1.25);
    }

    private static SideParameters Truth(bool chamfer)
    {
        double[] p = new double[SideParameters.Count];
        (p[SideParameters.X], p[SideParameters.Y], p[SideParameters.Y + 1], p[SideParameters.X + 2]) = (-2, 0.1, 0.002, 1e-4);
        (p[SideParameters.Turn], p[SideParameters.Turn + 1], p[SideParameters.Curvature], p[SideParameters.Draft]) = (0.01, 1e-4, 1 / 900.0, 0.03);
        (p[SideParameters.Break1], p[SideParameters.Break2]) = (1.2, chamfer ? 0.9 : 0);
        return new(chamfer, p);
    }

    private static SidePoints Points(SideParameters truth, double noise, SeededRandom random, double pitch = 0.3)
    {
        SideModel model = new(truth);
        List<double> s = [], x = [], y = [];
        (double from, double to) = model.EdgePlaces;
        for (double along = -15.2; along < 15.2; along += pitch)
        {
            for (double q = model.SkinEnd - random.Between(0, pitch); q > -27; q -= pitch) Add(PieceKind.Skin, q);
            for (double q = random.Between(0, pitch); q < model.EdgeLength; q += pitch) Add(PieceKind.Edge, from + (to - from) * q / model.EdgeLength);
            for (double q = model.WallStart + random.Between(0, pitch); q < 7; q += pitch) Add(PieceKind.Wall, q);

            void Add(PieceKind piece, double place)
            {
                double at = along + random.Between(-pitch / 2, pitch / 2);
                (double px, double py) = model.Over(at, piece, place, 0);
                s.Add(at + random.Normal(0, noise));
                x.Add(px + random.Normal(0, noise));
                y.Add(py + random.Normal(0, noise));
            }
        }
        return new([.. s], [.. x], [.. y]);
    }
}
