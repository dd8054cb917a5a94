using GapFlush.Seals;

namespace GapFlush.Tests.Seals;

public class CompressionSetTests
{
    // Worked example of METHOD.md: 12.5 mm seal held at 9.375 mm comes back to 11.72 mm.
    [Fact]
    public void The_worked_example_loses_a_quarter_of_its_deflection_and_keeps_twenty_per_cent()
    {
        Near.Absolute(24.96, CompressionSet.OfDeflectionPercent(12.5, 11.72, 9.375), 1e-12);
        Near.Absolute(6.24, CompressionSet.OfThicknessPercent(12.5, 11.72), 1e-12);
        Near.Absolute(20.0085324232081911, CompressionSet.CompressionPercent(11.72, 9.375), 1e-12);
    }

    [Fact]
    public void Height_after_a_set_is_the_height_that_the_set_was_defined_by() =>
        Near.Absolute(11.72, CompressionSet.FreeHeightAfterMm(12.5, 25, CompressionSet.OfDeflectionPercent(12.5, 11.72, 9.375)), 1e-12);

    [Fact]
    public void A_seal_that_does_not_touch_takes_no_set() => Assert.Equal(10, CompressionSet.FreeHeightAfterMm(10, -3, 40));

    [Fact]
    public void Heights_that_cannot_be_are_refused()
    {
        Assert.Throws<ArgumentException>(() => CompressionSet.OfDeflectionPercent(10, 9, 10));
        Assert.Throws<ArgumentException>(() => CompressionSet.OfThicknessPercent(0, 1));
        Assert.Throws<ArgumentException>(() => CompressionSet.CompressionPercent(double.NaN, 1));
    }
}
