using GapFlush.Plan;

namespace GapFlush.Readings;

/// <summary>One reading of a reference piece: something whose value is certified, such as a gauge block or a step plate.</summary>
/// <param name="Gauge">The gauge.</param>
/// <param name="Piece">The piece.</param>
/// <param name="ReferenceMm">Its certified value, mm.</param>
/// <param name="ValueMm">What was read, mm.</param>
/// <param name="Characteristic">What the gauge is used for, or null.</param>
/// <param name="ToleranceMm">Width of the limits the gauge is held to, mm, or null for the narrowest of the plan.</param>
/// <param name="Line">Line in the file.</param>
public sealed record PieceReading(string Gauge, string Piece, double ReferenceMm, double ValueMm, Characteristic? Characteristic, double? ToleranceMm, int Line);
