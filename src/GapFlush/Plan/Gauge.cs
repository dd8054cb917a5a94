namespace GapFlush.Plan;

/// <summary>A gauge of the shop with what its certificate says.</summary>
/// <param name="Name">Number or name of the gauge.</param>
/// <param name="Kind">Kind of gauge, free text.</param>
/// <param name="ResolutionMm">Least step it shows, mm, or null.</param>
/// <param name="UncertaintyMm">Expanded uncertainty, mm, or null.</param>
/// <param name="CoverageFactor">Coverage factor of <paramref name="UncertaintyMm"/>; 2 where the file leaves it blank.</param>
/// <param name="CalibrationDue">Last day on which the calibration is good, or null.</param>
public sealed record Gauge(string Name, string Kind, double? ResolutionMm, double? UncertaintyMm, double CoverageFactor, DateOnly? CalibrationDue);
