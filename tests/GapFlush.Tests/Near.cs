namespace GapFlush.Tests;

/// <summary>Holds a number to an expected one within a stated distance.</summary>
internal static class Near
{
    /// <summary>Agreement to that many significant digits.</summary>
    public static void Digits(double expected, double actual, int digits)
    {
        double tolerance = Math.Abs(expected) * Math.Pow(10, -digits);
        Assert.True(Math.Abs(actual - expected) <= tolerance, Invariant($"expected {expected:R} to {digits} digits, found {actual:R}"));
    }

    /// <summary>Agreement within an absolute distance.</summary>
    public static void Absolute(double expected, double actual, double tolerance) =>
        Assert.True(Math.Abs(actual - expected) <= tolerance, Invariant($"expected {expected:R} within {tolerance:R}, found {actual:R}"));
}
