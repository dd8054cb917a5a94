using GapFlush.Geometry;
using GapFlush.Reference.Geometry;
using GapFlush.Registration;

namespace GapFlush.Tests.Registration;

public class PointFitTests
{
    // 60-digit fits by two routes: fixtures/reference/geometry, group registration; r05 is collinear, so only its verdict counts.
    [Fact]
    public void Fits_match_sixty_digit_fits() => Assert.Equal(182, ReferenceCheck.Hold("geometry", new RegistrationGroup(), (id, quantity, value) =>
        id == "r05_collinear" && (quantity.Contains(".R", StringComparison.Ordinal) || quantity.Contains(".t_", StringComparison.Ordinal)) ? -1
        : quantity.StartsWith("singular", StringComparison.Ordinal) ? 1e-8 + 1e-12 * value
        : quantity.Contains(".t_", StringComparison.Ordinal) ? 1e-6
        : quantity.EndsWith("rms", StringComparison.Ordinal) ? 1e-8 : 1e-9));

    [Fact]
    public void A_motion_is_recovered_and_undone() => Cases.Each(200, random =>
    {
        RigidMotion planted = RigidMotion.About(new(random.Between(-3000, 3000), 400, 900), new(random.Between(-1.8, 1.8), random.Between(-1.8, 1.8), random.Between(-1.8, 1.8)), new(random.Between(-500, 500), 3, -8));
        Point3[] from = [.. Enumerable.Range(0, 6).Select(_ => new Point3(random.Between(2000, 3200), random.Between(380, 460), random.Between(500, 1500)))];
        Point3[] to = [.. from.Select(planted.Of)];
        PointFit fit = PointFit.Fit(from, to);
        Assert.True(fit.IsDetermined);
        Assert.InRange(fit.Rms, 0, 1e-11);
        foreach (Point3 p in from)
        {
            Near.Absolute(0, fit.Motion.Of(p).DistanceTo(planted.Of(p)), 1e-9);
            Near.Absolute(0, planted.Inverse().Of(planted.Of(p)).DistanceTo(p), 1e-9);
            Near.Absolute(0, planted.Inverse().After(planted).Of(p).DistanceTo(p), 1e-9);
        }
    });

    [Fact]
    public void A_factor_of_the_inch_is_found() =>
        Near.Absolute(25.4, PointFit.Fit([new(0, 0, 0), new(1, 0, 0), new(0, 1, 0), new(0, 0, 1)], [new(0, 0, 0), new(25.4, 0, 0), new(0, 25.4, 0), new(0, 0, 25.4)], withScale: true).Scale, 1e-12);
}
