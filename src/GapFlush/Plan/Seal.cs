namespace GapFlush.Plan;

/// <summary>The seal of a door or zone.</summary>
/// <param name="Door">Door code, or null for any door.</param>
/// <param name="Zone">Zone, or null for any zone.</param>
/// <param name="Name">Name of the seal profile, the key of its load curve.</param>
/// <param name="FreeHeightMm">Height without load, mm.</param>
/// <param name="SetPercent">Compression set expected in service, per cent of the deflection (ISO 815-1, ASTM D395 method B), or null.</param>
public sealed record Seal(string? Door, string? Zone, string Name, double FreeHeightMm, double? SetPercent);
