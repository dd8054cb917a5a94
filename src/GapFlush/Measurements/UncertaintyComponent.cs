namespace GapFlush.Measurements;

/// <summary>One source of uncertainty, already turned into the unit of the result.</summary>
/// <param name="Source">What it comes from, in words that can be printed: "gauge SG-04 certificate".</param>
/// <param name="StandardUncertainty">Its share as a standard uncertainty of the result, not negative.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom; positive infinity where it is taken as known.</param>
public sealed record UncertaintyComponent(string Source, double StandardUncertainty, double DegreesOfFreedom)
{
    /// <summary>True where the same error may sit in every reading of its kind, as a gauge's own error does: over many places it does not average out.</summary>
    public bool IsShared { get; init; }

    /// <summary>A source from the standard uncertainty of an input and how much the result moves with it: |c| u.</summary>
    public static UncertaintyComponent Of(string source, double sensitivity, double inputUncertainty, double degreesOfFreedom = double.PositiveInfinity) =>
        new(source, Math.Abs(sensitivity) * inputUncertainty, degreesOfFreedom);

    /// <summary>A source of which only the limits are known: any value between -h and +h is as likely (rectangular, u = h/√3).</summary>
    public static UncertaintyComponent Rectangular(string source, double halfWidth) => new(source, Math.Abs(halfWidth) / Math.Sqrt(3), double.PositiveInfinity);

    /// <summary>What a product of two uncertain factors adds beyond the first order: |k| u(a) u(b). It is all there is where both factors are nought.</summary>
    public static UncertaintyComponent OfProduct(string source, double factor, double firstUncertainty, double secondUncertainty) =>
        new(source, Math.Abs(factor) * firstUncertainty * secondUncertainty, double.PositiveInfinity);
}
