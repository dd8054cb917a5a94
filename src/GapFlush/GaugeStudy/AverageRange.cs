namespace GapFlush.GaugeStudy;

/// <summary>Average-and-range figures of a gauge study, one standard deviation each.</summary>
/// <param name="Equipment">Repeatability.</param>
/// <param name="Appraiser">Reproducibility.</param>
/// <param name="Part">The parts.</param>
public sealed record AverageRange(double Equipment, double Appraiser, double Part)
{
    /// <summary>The measuring as a whole.</summary>
    public double Measuring => Math.Sqrt(Equipment * Equipment + Appraiser * Appraiser);

    /// <summary>Everything.</summary>
    public double Total => Math.Sqrt(Measuring * Measuring + Part * Part);

    /// <summary>Share of the total standard deviation, per cent; shares do not add up to 100.</summary>
    public double PercentOfTotal(double sd) => 100 * sd / Total;

    /// <summary>Number of categories told apart, not rounded.</summary>
    public double CategoriesUnrounded => 1.41 * Part / Measuring;
}
