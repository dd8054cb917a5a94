using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Registration;

namespace GapFlush.Tests.Registration;

public class ScanSampleTests
{
    private const int Usual = 20_000;
    private static readonly Point3[] Points = Made(150_000);

    [Theory]
    [InlineData(0)]
    [InlineData(20_000)]
    [InlineData(150_000)]
    [InlineData(200_000)]
    public void The_same_points_are_kept_in_any_order_however_many_were_expected(int expected)
    {
        HashSet<Point3> usual = Kept(Points, 0);
        Assert.InRange(usual.Count, 0.98 * Usual, Usual);
        SeededRandom random = new(4);
        Point3[] shuffled = [.. Points.Select(p => (random.Unit(), p)).OrderBy(p => p.Item1).Select(p => p.p)];
        Assert.Equal(usual.Count, usual.Intersect(Kept(shuffled, expected)).Count());
        Assert.Equal(usual.Count, Kept(shuffled, expected).Count);
    }

    // What another format rounds off moves few points to another place: three coordinates, each off by a quarter of a step on average, on a tenth of a millimetre.
    [Theory]
    [InlineData(1e-4, 0.002)]
    [InlineData(1e-3, 0.015)]
    public void Rounded_coordinates_change_few_of_them(double step, double share)
    {
        HashSet<Point3> usual = [.. Kept(Points, 0).Select(p => Rounded(p, 1))], rounded = [.. Kept([.. Points.Select(p => Rounded(p, step))], 0).Select(p => Rounded(p, 1))];
        Assert.InRange(usual.Intersect(rounded).Count(), (1 - share) * usual.Count, usual.Count);

        static Point3 Rounded(Point3 p, double step) => new(Math.Round(p.X / step) * step, Math.Round(p.Y / step) * step, Math.Round(p.Z / step) * step);
    }

    // Rows a whole number of tenths apart: every region keeps its share.
    [Fact]
    public void Regular_rows_are_thinned_evenly()
    {
        Point3[] grid = [.. Enumerable.Range(0, 400 * 400).Select(i => new Point3(0.5 * (i / 400), 0.2 * (i % 400), 3))];
        int[] regions = new int[16];
        foreach (Point3 p in Kept(grid, 0)) regions[4 * (int)Math.Min(3, p.X / 50) + (int)Math.Min(3, p.Y / 20)]++;
        // A region holds 1250 of 20,000, give or take 35.
        Assert.All(regions, n => Assert.InRange(n, 1250 - 160, 1250 + 160));
    }

    [Fact]
    public void Corners_that_come_over_and_over_are_kept_once()
    {
        ScanSample sample = new(1, 0, Usual, repeats: true);
        foreach (int time in new[] { 0, 1, 2 }) sample.Add([.. Points.SelectMany(p => new[] { p.X, p.Y, p.Z })]);
        Assert.True(Kept(Points, 0).SetEquals(All(sample)));
    }

    // Scanners write nought where they saw nothing. One place over and over cannot be thinned by its place.
    [Fact]
    public void Nought_over_and_over_is_let_go_first()
    {
        ScanSample sample = new(1, 0, Usual);
        for (int i = 0; i < Points.Length; i++) sample.Add([0, 0, 0, Points[i].X, Points[i].Y, Points[i].Z]);
        Assert.True(Kept(Points, 0).SetEquals(All(sample)));
    }

    [Fact]
    public void A_scan_of_one_place_is_bounded()
    {
        ScanSample sample = new(1, 0, 1000);
        sample.Add([.. Enumerable.Repeat(new[] { 1.0, 2, 3 }, 5000).SelectMany(p => p)]);
        Assert.InRange(sample.Count, 0, 1400);
    }

    private static HashSet<Point3> Kept(Point3[] points, long expected)
    {
        ScanSample sample = new(1, expected, Usual);
        foreach (Point3[] block in points.Chunk(999)) sample.Add([.. block.SelectMany(p => new[] { p.X, p.Y, p.Z })]);
        return All(sample);
    }

    private static HashSet<Point3> All(ScanSample sample) => [.. Enumerable.Range(0, sample.Count).Select(i => sample[i])];

    private static Point3[] Made(int count)
    {
        SeededRandom random = new(3);
        return [.. Enumerable.Range(0, count).Select(_ => new Point3(random.Between(1500, 2500), random.Between(-400, 400), random.Between(-30, 30)))];
    }
}
