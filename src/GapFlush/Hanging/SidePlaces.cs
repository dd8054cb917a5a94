using GapFlush.Plan;

namespace GapFlush.Hanging;

/// <summary>Both sides' own places at a station against nominal, and the deviations they make; mm, null where not known.</summary>
/// <param name="Station">The station.</param>
/// <param name="SurroundEdgeMm">Edge of the surround along u.</param>
/// <param name="SurroundFaceMm">Face of the surround along n.</param>
/// <param name="DoorEdgeMm">Edge of the door along u.</param>
/// <param name="DoorFaceMm">Face of the door along n.</param>
/// <param name="GapDeviationMm">Gap minus nominal.</param>
/// <param name="FlushDeviationMm">Flush minus nominal.</param>
/// <param name="GapUncertaintyMm">Expanded uncertainty of the gap.</param>
/// <param name="FlushUncertaintyMm">Expanded uncertainty of the flush.</param>
public sealed record SidePlaces(Station Station, double? SurroundEdgeMm, double? SurroundFaceMm, double? DoorEdgeMm, double? DoorFaceMm,
    double? GapDeviationMm, double? FlushDeviationMm, double? GapUncertaintyMm, double? FlushUncertaintyMm);
