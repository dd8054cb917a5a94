namespace GapFlush.Hanging;

/// <summary>One reading after a displacement of the door has been taken out of it.</summary>
/// <param name="Deviation">The reading as it was.</param>
/// <param name="ExplainedMm">What the displacement accounts for, mm.</param>
/// <param name="ResidualMm">What remains, mm: deviation minus explained.</param>
/// <param name="Weight">How much the reading counted: 1 in full, 0 not at all (robust fit only).</param>
public sealed record DisplacementResidual(SeamDeviation Deviation, double ExplainedMm, double ResidualMm, double Weight);
