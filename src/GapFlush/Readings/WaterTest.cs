namespace GapFlush.Readings;

/// <summary>One water test as it was logged: kept apart from geometry, because it alone says whether water came in.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Door">Door code.</param>
/// <param name="Station">Station at which it was looked, or null for the whole door.</param>
/// <param name="Attitude">Attitude of the plan in which it stood, or null where not given.</param>
/// <param name="IsWet">True where water was found inside.</param>
/// <param name="Minutes">How long it was sprayed, minutes, or null.</param>
/// <param name="FlowLPerMin">How much was sprayed, L/min, or null.</param>
/// <param name="Note">Free note, or null.</param>
/// <param name="Line">Line in the file.</param>
public sealed record WaterTest(string Build, string Door, string? Station, string? Attitude, bool IsWet, double? Minutes, double? FlowLPerMin, string? Note, int Line);
