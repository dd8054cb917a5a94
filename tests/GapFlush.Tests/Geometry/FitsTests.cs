using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Reference.Geometry;

namespace GapFlush.Tests.Geometry;

public class FitsTests
{
    // 60-digit fits by a script that shares nothing with the project: fixtures/reference/geometry, group fits. Tolerances from its README.
    [Fact]
    public void Fits_match_sixty_digit_fits() => Assert.Equal(168, ReferenceCheck.Hold("geometry", new FitsGroup(), (id, quantity, value) =>
        quantity.EndsWith("rms", StringComparison.Ordinal) || quantity.EndsWith("ssd", StringComparison.Ordinal) ? 1e-9
        : id.StartsWith("arc", StringComparison.Ordinal) && quantity.EndsWith("radius", StringComparison.Ordinal) ? 1e-5 * value : 1e-7));

    // Rational arithmetic: fixtures/reference/geometry, group minzone.
    [Fact]
    public void Minimum_zones_match_rational_arithmetic() => Assert.Equal(42, ReferenceCheck.Hold("geometry", new MinimumZoneGroup(), (_, _, _) => 1e-8));

    // 60-digit fits; the phones lines agree with R (MASS, tight stopping) to 1e-11 as well: fixtures/reference/geometry, group robust.
    [Fact]
    public void Robust_fits_match_sixty_digit_fits() => Assert.Equal(32, ReferenceCheck.Hold("geometry", new RobustGroup(), (_, _, value) => 1e-6 * Math.Abs(value)));

    [Fact]
    public void Kasa_is_biased_small_on_a_short_arc_and_the_geometric_fit_is_not()
    {
        // arc_bias.csv, 45 degrees, 41 points, r = 3, sigma 0.03: mean bias of Kasa -0.39, geometric 0.01 (20 000 replicates).
        double kasa = 0, geometric = 0;
        SeededRandom random = new(5);
        const int Count = 400;
        for (int i = 0; i < Count; i++)
        {
            Point2[] arc = [.. Enumerable.Range(0, 41).Select(k => double.DegreesToRadians(67.5 + 45 * k / 40.0)).Select(a => new Point2(3 * Math.Cos(a) + random.Normal(0, 0.03), 3 * Math.Sin(a) + random.Normal(0, 0.03)))];
            kasa += CircleFit.Fit(arc, CircleMethod.Kasa)!.Radius - 3;
            geometric += CircleFit.Fit(arc)!.Radius - 3;
        }
        // Standard deviation of one radius is 0.19, of the mean of 400 then 0.01.
        Assert.InRange(kasa / Count, -0.45, -0.33);
        Assert.InRange(geometric / Count, -0.04, 0.06);
    }

    [Fact]
    public void A_cylinder_is_found_whatever_way_it_lies() => Cases.Each(12, random =>
    {
        Vector3 axis = new Vector3(random.Normal(), random.Normal(), random.Normal()).ToUnit();
        (Vector3 e1, Vector3 e2) = PrincipalAxes.Beside(axis);
        Point3 at = new(random.Between(-3000, 3000), random.Between(-3000, 3000), random.Between(-3000, 3000));
        double radius = random.Between(3, 20), arc = random.Between(2.5, 6.2), length = random.Between(0.5, 4) * radius;
        Point3[] points = [.. Enumerable.Range(0, 60).Select(_ => (Turn: random.Between(0, arc), Along: random.Between(0, length))).Select(p => at + (p.Along * axis + (radius * Math.Cos(p.Turn) * e1 + radius * Math.Sin(p.Turn) * e2)))];
        CylinderFit fit = CylinderFit.Fit(points)!;
        Near.Absolute(radius, fit.Radius, 1e-8);
        Near.Absolute(1, Math.Abs(fit.Axis.Dot(axis)), 1e-10);
    });

    [Fact]
    public void Points_that_fix_nothing_give_no_fit()
    {
        Assert.Null(LineFit.Fit([new(1, 2, 3)]));
        Assert.Null(LineFit.Fit([new(1, 2, 3), new(1, 2, 3)]));
        Assert.Null(PlaneFit.Fit([new(0, 0, 0), new(1, 0, 0), new(2, 0, 0)]));
        Assert.Null(CircleFit.Fit([new(0, 0), new(1, 0), new(2, 0)]));
        Assert.Null(SphereFit.Fit([new(0, 0, 0), new(1, 0, 0), new(0, 1, 0)]));
        Assert.Null(CylinderFit.Fit([new(0, 0, 0), new(1, 0, 0), new(0, 1, 0)]));
        Assert.Null(RegressionLine.Fit([1, 1], [2, 3]));
        Assert.Null(RobustLine.LeastAbsolute([1, 1], [2, 3]));
        Assert.Null(Straightness.Of([new(1, 1), new(1, 1)]));
    }

    [Fact]
    public void Minimum_zone_never_exceeds_the_least_squares_spread() => Cases.Each(50, random =>
    {
        Point2[] bow = [.. Enumerable.Range(0, 30).Select(i => new Point2(20 * i, random.Normal(0, 0.05)))];
        Straightness straight = Straightness.Of(bow)!;
        Assert.True(straight.Width <= straight.LeastSquaresSpread + 1e-12 && straight.Width <= straight.EndPointSpread + 1e-12 && straight.Width <= straight.VerticalSpread + 1e-12);
        Point2[] ring = [.. Enumerable.Range(0, 30).Select(i => (Angle: 0.2 * i, R: 20 + random.Normal(0, 0.05))).Select(p => new Point2(p.R * Math.Cos(p.Angle), p.R * Math.Sin(p.Angle)))];
        Roundness round = Roundness.Of(ring)!;
        Assert.True(round.MinimumZone <= round.LeastSquares.Spread + 1e-12 && round.MinimumZone <= round.Circumscribed.Spread + 1e-12 && round.MinimumZone <= round.Inscribed.Spread + 1e-12);
        Assert.True(round.OuterContacts.Count + round.InnerContacts.Count >= 4);
    });

    // Worked example of METHOD.md.
    [Fact]
    public void Of_equal_absolute_deviation_lines_the_widest_is_given()
    {
        (double intercept, double slope, int first, int second) = RobustLine.LeastAbsolute([0, 1, 2, 3], [0, 0, 1, 1])!.Value;
        Near.Absolute(1.0 / 3, slope, 1e-12);
        Near.Absolute(0, intercept, 1e-12);
        Assert.Equal((0, 3), (first, second));
    }
}
