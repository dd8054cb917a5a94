using GapFlush.Numerics;

namespace GapFlush.Capability;

/// <summary>The constants of control charts for subgroups of one size, three-sigma limits.</summary>
/// <remarks>
/// <para>Method: computed, not looked up; lower factors are cut at 0. Good to 10 digits for 2 to 100 values (StatisticsReferenceTests).</para>
/// <para>Source: ISO 7870-2 names and defines them [not opened]; printed tables round E2(2) from a rounded d2.</para>
/// </remarks>
public sealed record ChartConstants
{
    /// <summary>Computes the constants for subgroups of <paramref name="size"/> values.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The size is below 2.</exception>
    public ChartConstants(int size)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(size, 2);
        Size = size;
        (D2, D3, MedianRange, C4) = (RangeDistribution.Mean(size), RangeDistribution.Sd(size), RangeDistribution.Median(size), UnbiasingFactor(size));
    }

    /// <summary>Values in a subgroup.</summary>
    public int Size { get; }

    /// <summary>c4: mean of the sample standard deviation over σ.</summary>
    public double C4 { get; }

    /// <summary>c5: standard deviation of the sample standard deviation over σ.</summary>
    public double C5 => Math.Sqrt(Math.Max(0, 1 - C4 * C4));

    /// <summary>d2: mean range over σ.</summary>
    public double D2 { get; }

    /// <summary>d3: standard deviation of the range over σ.</summary>
    public double D3 { get; }

    /// <summary>d4: median range over σ.</summary>
    public double MedianRange { get; }

    /// <summary>A: limits of means from σ.</summary>
    public double A => 3 / Math.Sqrt(Size);

    /// <summary>A2: limits of means from the mean range.</summary>
    public double A2 => A / D2;

    /// <summary>A3: limits of means from the mean standard deviation.</summary>
    public double A3 => A / C4;

    /// <summary>B3: lower limit of standard deviations from their mean.</summary>
    public double B3 => Math.Max(0, 1 - 3 * C5 / C4);

    /// <summary>B4: upper limit of standard deviations from their mean.</summary>
    public double B4 => 1 + 3 * C5 / C4;

    /// <summary>B5: lower limit of standard deviations from σ.</summary>
    public double B5 => Math.Max(0, C4 - 3 * C5);

    /// <summary>B6: upper limit of standard deviations from σ.</summary>
    public double B6 => C4 + 3 * C5;

    /// <summary>D1: lower limit of ranges from σ.</summary>
    public double LowerRangeFromSigma => Math.Max(0, D2 - 3 * D3);

    /// <summary>D2: upper limit of ranges from σ.</summary>
    public double UpperRangeFromSigma => D2 + 3 * D3;

    /// <summary>D3: lower limit of ranges from their mean.</summary>
    public double LowerRangeFromMean => Math.Max(0, 1 - 3 * D3 / D2);

    /// <summary>D4: upper limit of ranges from their mean.</summary>
    public double UpperRangeFromMean => 1 + 3 * D3 / D2;

    /// <summary>E2: limits of individual values from the mean range.</summary>
    public double E2 => 3 / D2;

    /// <summary>E3: limits of individual values from the mean standard deviation.</summary>
    public double E3 => 3 / C4;

    /// <summary>c4 for any number of values from 2.</summary>
    public static double UnbiasingFactor(double size)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(size, 2);
        double a = (size - 1) / 2;
        return Math.Exp(GammaFunctions.LogHalfStep(a)) / Math.Sqrt(a);
    }

    /// <summary>d2*: what the average of g ranges of m values is divided by so that its square is unbiased.</summary>
    public static double D2Star(int m, int g)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(g, 1);
        double d2 = RangeDistribution.Mean(m), d3 = RangeDistribution.Sd(m);
        return Math.Sqrt(d2 * d2 + d3 * d3 / g);
    }
}
