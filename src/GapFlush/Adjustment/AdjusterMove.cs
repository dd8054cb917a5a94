using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>What to do at one adjuster.</summary>
/// <param name="Adjuster">The adjuster.</param>
/// <param name="MoveMm">The advised move along its direction, mm; 0 to leave it.</param>
/// <param name="SteplessMm">The move that would be best if it had no steps and no least move, mm.</param>
/// <param name="LeastTellableMm">The smallest move that the readings can tell from none here, mm; null where they say nothing of it.</param>
/// <param name="WhyHeld">Why it may not be moved, or null.</param>
public sealed record AdjusterMove(Adjuster Adjuster, double MoveMm, double SteplessMm, double? LeastTellableMm, string? WhyHeld);
