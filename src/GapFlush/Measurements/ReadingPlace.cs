using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>What was read where: the same for every build.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Station">Station name.</param>
/// <param name="Characteristic">What was read.</param>
/// <param name="Definition">Definition code given with the row, or null.</param>
public sealed record ReadingPlace(string Door, string Station, Characteristic Characteristic, string? Definition);
