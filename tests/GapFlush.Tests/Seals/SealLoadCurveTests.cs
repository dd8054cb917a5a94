using GapFlush.Seals;

namespace GapFlush.Tests.Seals;

public class SealLoadCurveTests
{
    private static readonly SealLoadCurve Curve = new("bulb", [(10, 12), (20, 26), (30, 43)]);

    [Theory]
    [InlineData(-5, 0)]
    [InlineData(0, 0)]
    [InlineData(5, 6)]      // the line from the origin to the first point
    [InlineData(10, 12)]
    [InlineData(15, 19)]
    [InlineData(30, 43)]
    [InlineData(35, 51.5)]  // the last line carried on
    public void Load_runs_straight_between_the_points_of_the_sheet(double percent, double load) => Near.Absolute(load, Curve.LoadNPerM(percent), 1e-12);

    [Fact]
    public void Compression_beyond_the_sheet_is_told() => Assert.Equal((false, true), (Curve.IsBeyond(30), Curve.IsBeyond(30.001)));

    [Fact]
    public void A_curve_that_falls_or_is_no_curve_is_refused()
    {
        Assert.Throws<ArgumentException>(() => new SealLoadCurve("x", [(0, 5), (10, 4)]));
        Assert.Throws<ArgumentException>(() => new SealLoadCurve("x", [(10, 1), (10, 2)]));
        Assert.Throws<ArgumentException>(() => new SealLoadCurve("x", [(0, 0)]));
        Assert.Throws<ArgumentException>(() => new SealLoadCurve("x", [(0, 0), (double.NaN, 1)]));
    }
}
