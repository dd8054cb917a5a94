namespace GapFlush.GaugeStudy;

/// <summary>Variances of a gauge study, none of them negative, and what they mean for the gauge.</summary>
/// <param name="Repeatability">Same operator, same part again.</param>
/// <param name="Interaction">Operators differ more on some parts than on others.</param>
/// <param name="Operator">Operators differ on all parts alike.</param>
/// <param name="Part">The parts themselves.</param>
public sealed record GaugeComponents(double Repeatability, double Interaction, double Operator, double Part)
{
    /// <summary>Variance from operators, interaction included.</summary>
    public double Reproducibility => Operator + Interaction;

    /// <summary>Variance of the measuring as a whole.</summary>
    public double Measuring => Repeatability + Reproducibility;

    /// <summary>Variance of everything.</summary>
    public double Total => Measuring + Part;

    /// <summary>1.41 times the parts' standard deviation over that of the measuring: how many kinds of part the gauge tells apart.</summary>
    public double CategoriesUnrounded => 1.41 * Math.Sqrt(Part / Measuring);

    /// <summary>The same rounded down, at least 1.</summary>
    public int Categories => double.IsFinite(CategoriesUnrounded) ? Math.Max(1, (int)Math.Min(1e6, Math.Floor(CategoriesUnrounded))) : 1;

    /// <summary>Share of the total variance, per cent.</summary>
    public double PercentContribution(double variance) => 100 * variance / Total;

    /// <summary>Share of the total standard deviation, per cent; shares do not add up to 100.</summary>
    public double PercentStudy(double variance) => 100 * Math.Sqrt(variance / Total);

    /// <summary>Six standard deviations over the width of the limits, per cent.</summary>
    public static double PercentTolerance(double variance, double tolerance) => 600 * Math.Sqrt(variance) / tolerance;
}
