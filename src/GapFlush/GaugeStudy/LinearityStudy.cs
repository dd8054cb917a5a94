using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>Does a gauge read true over its whole range? Bias of several reference pieces, and its slope over their size.</summary>
/// <remarks>
/// <para>Method: bias = reading less certified value; straight line of bias over certified value by least squares, every reading for itself; slope and bias at the middle with t intervals.</para>
/// <para>No answer (null from <see cref="Of"/>): fewer than two pieces of different size, or fewer than three readings.</para>
/// <para>Source: the usual linearity form of measurement system analysis handbooks [from memory].</para>
/// </remarks>
/// <param name="Line">The line: intercept, then slope.</param>
/// <param name="Bias">All biases.</param>
/// <param name="MiddleMm">Mean certified value, mm.</param>
public sealed record LinearityStudy(LeastSquares Line, SampleSummary Bias, double MiddleMm)
{
    /// <summary>Change of bias for each mm of size.</summary>
    public double Slope => Line.Coefficients[1];

    /// <summary>95 % interval of <see cref="Slope"/>.</summary>
    public Interval SlopeInterval => Line.CoefficientInterval(1);

    /// <summary>p value of "the bias is the same over the range".</summary>
    public double SlopeProbability => Line.CoefficientProbability(1);

    /// <summary>Bias at the middle of the range by the line, mm.</summary>
    public double BiasMm => Line.At(1, MiddleMm);

    /// <summary>95 % interval of <see cref="BiasMm"/>.</summary>
    public Interval BiasInterval => Line.MeanIntervalAt(0.95, 1, MiddleMm);

    /// <summary>Fits the line.</summary>
    public static LinearityStudy? Of(IReadOnlyList<(double ReferenceMm, double ReadMm)> readings)
    {
        if (readings.Count < 3 || readings.Select(r => r.ReferenceMm).Distinct().Count() < 2) return null;
        double[] x = [.. readings.Select(r => r.ReferenceMm)], bias = [.. readings.Select(r => r.ReadMm - r.ReferenceMm)];
        return LeastSquares.Line(x, bias) is LeastSquares line ? new(line, new(bias), x.Average()) : null;
    }
}
