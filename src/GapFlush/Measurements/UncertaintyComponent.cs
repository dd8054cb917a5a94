namespace GapFlush.Measurements;

/// <summary>One source of uncertainty, already turned into the unit of the result.</summary>
/// <param name="Source">What it comes from, in words that can be printed: "gauge SG-04 certificate".</param>
/// <param name="StandardUncertainty">Its share as a standard uncertainty of the result, not negative.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom; positive infinity where it is taken as known.</param>
public sealed record UncertaintyComponent(string Source, double StandardUncertainty, double DegreesOfFreedom);
