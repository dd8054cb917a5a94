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
        SideParameters truth = MadeSide.Truth(chamfer);
        SideCells cells = SideCells.Of(MadeSide.Points(truth, 0, new SeededRandom(1)), truth, 0.02, 15, 5);
        Assert.InRange(cells.Count, 150, 400);
        Span<double> unused = stackalloc double[SideParameters.Count];
        SideModel model = new(truth);
        for (int i = 0; i < cells.Count; i++) Assert.InRange(model.At(cells.S[i], cells.X[i], cells.Y[i], unused).Distance, -1e-9, 1e-9);
    }

    [Fact]
    public void A_foot_and_its_distance_give_the_point_back() => Cases.Each(300, random =>
    {
        SideModel model = new(MadeSide.Truth(random.Unit() < 0.5));
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
        SideParameters truth = MadeSide.Truth(false);
        double sum = 0;
        int count = 0;
        for (ulong seed = 1; seed <= 60; seed++)
        {
            SidePoints points = MadeSide.Points(truth, noise, new SeededRandom(seed), pitch);
            (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
            bool[] free = SideSearch.Free(false, flat: false);
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

    // Half of the variance of a point is shared by all points of a little cube of one millimetre. The mean square of an error in its stated standard deviations is 1.6 where that is not asked for, and
    // 1.3 where it is: what cells a whole stretch apart share stays out.
    [Fact]
    public void Stated_uncertainties_hold_where_neighbours_share_their_noise()
    {
        SideParameters truth = MadeSide.Truth(false);
        (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        bool[] free = SideSearch.Free(false, flat: false);
        SidePoints[] sides = [.. Enumerable.Range(1, 60).Select(seed => MadeSide.Points(truth, 0.035, new SeededRandom((ulong)seed), sharedMm: 1))];
        SideFit[] alone = [.. sides.Select(p => Fit(p, null))];
        Assert.All(alone, fit => Assert.NotEmpty(fit.Neighbours));
        double[] correlation = CellNeighbours.Correlation(alone.Select(f => f.Neighbours));
        Assert.True(correlation[CellNeighbours.Kinds / 2] > 0.1, string.Join(" ", correlation));
        CellNoise noise = new(Mean(skin: true), Mean(skin: false), correlation);
        double without = MeanSquare(sides.Select(p => Fit(p, noise with { Correlation = [] }))), with = MeanSquare(sides.Select(p => Fit(p, noise)));
        Assert.True(without > 1.15 * with && with is > 0.8 and < 1.4, Invariant($"{without} {with}"));

        SideFit Fit(SidePoints points, CellNoise? cells)
        {
            SideFit start = SideFit.Run(new(points.S[..2000], points.X[..2000], points.Y[..2000]), truth, [.. Enumerable.Range(0, SideParameters.Count).Select(k => k == SideParameters.Y)], prior, [0.2])!;
            return SideFit.OverCells(points, start, free, prior, cells, 15, 5, 3)!;
        }

        double Mean(bool skin) => Math.Max(0, alone.Average(f => SideFit.Shared(f.Cells!, f.CellResiduals, SideParameters.Count - 1, skin) ?? 0));

        double MeanSquare(IEnumerable<SideFit> fits) => fits.SelectMany(f => Enumerable.Range(0, SideParameters.Count).Where(k => free[k]).Select(k => Math.Pow(f.Parameters.Values[k] - truth.Values[k], 2) / f.Covariance[k, k])).Average();
    }

    [Fact]
    public void Points_that_err_each_by_itself_have_no_neighbours_share()
    {
        SideParameters truth = MadeSide.Truth(false);
        (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        double[] correlation = CellNeighbours.Correlation(Enumerable.Range(1, 40).Select(seed =>
        {
            SidePoints points = MadeSide.Points(truth, 0.035, new SeededRandom((ulong)seed));
            SideFit start = SideFit.Run(new(points.S[..2000], points.X[..2000], points.Y[..2000]), truth, [.. Enumerable.Range(0, SideParameters.Count).Select(k => k == SideParameters.Y)], prior, [0.2])!;
            return SideFit.OverCells(points, start, SideSearch.Free(false, flat: false), prior, null, 15, 5, 3)!.Neighbours;
        }));
        Assert.All(correlation, c => Assert.InRange(c, 0, 0.06));
    }
}
