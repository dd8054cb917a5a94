using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

public class PassDisagreementTests
{
    // Round a side the walls are off by 0.03 times the cosine of where the seam looks: root mean square 0.0212, doubled in variance for the edge that lies midway.
    [Fact]
    public void A_pass_that_is_off_is_found_all_round_a_side()
    {
        PassDisagreement found = PassDisagreement.Of(Fits(d => 0.03 * d.X), Directions);
        Assert.False(found.IsAssumed);
        Assert.InRange(found.SdMm, 0.022, 0.038);
        double[] seen = [.. Enumerable.Range(0, Directions.Length).Select(found.At)];
        Assert.All(seen, s => Assert.True(s >= found.SdMm));
        // Where the seam looks along the shift it is largest, across it there is none of its own.
        Assert.True(seen[0] > 1.2 * found.SdMm && seen[4] < 1.05 * found.SdMm, string.Join(" ", seen));
    }

    [Fact]
    public void Passes_that_agree_are_found_to() => Assert.InRange(PassDisagreement.Of(Fits(_ => 0), Directions).SdMm, 0, 0.006);

    [Fact]
    public void A_stretch_that_looks_one_way_tells_nothing_and_the_usual_is_assumed()
    {
        IReadOnlyList<SideFit?> fits = Fits(_ => 0);
        PassDisagreement found = PassDisagreement.Of(fits, [.. Directions.Select(_ => new Vector3(1, 0, 0))]);
        Assert.True(found.IsAssumed);
        Assert.Equal(0.005, found.SdMm);
        Assert.True(PassDisagreement.Of([.. fits.Take(7)], Directions[..7]).IsAssumed);
    }

    [Fact]
    public void Without_walls_there_is_nothing_to_disagree_about() => Assert.Equal(0, PassDisagreement.Of([null, null], Directions[..2]).At(0));

    private static readonly Vector3[] Directions = [.. Enumerable.Range(0, 16).Select(k => new Vector3(Math.Cos(k * Math.PI / 8), Math.Sin(k * Math.PI / 8), 0))];

    private static IReadOnlyList<SideFit?> Fits(Func<Vector3, double> wallShift)
    {
        SideParameters truth = MadeSide.Truth(false);
        (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        return [.. Directions.Select((d, k) =>
        {
            SidePoints points = MadeSide.Points(truth, 0.02, new SeededRandom((ulong)(k + 1)), wallShiftMm: wallShift(d));
            SideFit start = SideFit.Run(new(points.S[..2000], points.X[..2000], points.Y[..2000]), truth, [.. Enumerable.Range(0, SideParameters.Count).Select(i => i == SideParameters.Y)], prior, [0.2])!;
            return SideFit.OverCells(points, start, SideSearch.Free(false, flat: false), prior, null, 15, 5, 3);
        })];
    }
}
