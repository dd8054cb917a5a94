namespace GapFlush.GaugeStudy;

/// <summary>A row of the table of variance.</summary>
/// <param name="SumOfSquares">Sum of squares.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom.</param>
public readonly record struct VarianceRow(double SumOfSquares, int DegreesOfFreedom)
{
    /// <summary>Mean square.</summary>
    public double MeanSquare => SumOfSquares / DegreesOfFreedom;
}
