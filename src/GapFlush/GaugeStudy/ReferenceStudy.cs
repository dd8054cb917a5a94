using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>One reference piece measured many times: bias and spread of the gauge against the tolerance (a type-1 study).</summary>
/// <remarks>
/// <para>Method: Cg = K T / (L s), Cgk = (K T / 2 - |bias|) / (L s / 2), T the width of the limits. K is the share of the tolerance, L the width in standard
/// deviations that the customer's rule names; 0.2 and 6 are usual.</para>
/// <para>Source: ISO 22514-7 terms [not opened]; the pairs of K and L are common practice, no source.</para>
/// </remarks>
public sealed class ReferenceStudy
{
    /// <summary>Analyses readings of one reference piece.</summary>
    /// <param name="readings">Two readings or more.</param>
    /// <param name="reference">What the piece measures by its certificate.</param>
    /// <param name="tolerance">Width of the limits, positive.</param>
    public ReferenceStudy(IReadOnlyList<double> readings, double reference, double tolerance)
    {
        if (readings.Count < 2) throw new ArgumentException("A study of a reference piece needs two readings or more.", nameof(readings));
        if (!(tolerance > 0)) throw new ArgumentOutOfRangeException(nameof(tolerance), tolerance, "The width of the limits is positive.");
        (Readings, Reference, Tolerance) = (new([.. readings]), reference, tolerance);
    }

    /// <summary>The readings.</summary>
    public SampleSummary Readings { get; }

    /// <summary>Certified value.</summary>
    public double Reference { get; }

    /// <summary>Width of the limits.</summary>
    public double Tolerance { get; }

    /// <summary>Mean reading less reference.</summary>
    public double Bias => Readings.Mean - Reference;

    /// <summary>Bias over its standard error.</summary>
    public double BiasT => Bias / Readings.MeanStandardError;

    /// <summary>Two-sided p value of the bias.</summary>
    public double BiasProbability => Numerics.StudentDistribution.TwoSided(BiasT, Readings.Count - 1);

    /// <summary>Interval of the bias.</summary>
    public Interval BiasInterval(double confidence = 0.95)
    {
        Interval mean = Readings.MeanInterval(confidence);
        return new(mean.Low - Reference, mean.High - Reference);
    }

    /// <summary>Cg.</summary>
    /// <param name="share">K, share of the tolerance.</param>
    /// <param name="width">L, width in standard deviations.</param>
    public double Cg(double share = 0.2, double width = 6) => share * Tolerance / (width * Readings.Sd);

    /// <summary>Cgk.</summary>
    /// <param name="share">K, share of the tolerance.</param>
    /// <param name="width">L, width in standard deviations.</param>
    public double Cgk(double share = 0.2, double width = 6) => (share * Tolerance / 2 - Math.Abs(Bias)) / (width * Readings.Sd / 2);

    /// <summary>Six standard deviations over the tolerance, per cent.</summary>
    public double PercentRepeatability => 600 * Readings.Sd / Tolerance;
}
