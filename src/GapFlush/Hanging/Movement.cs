namespace GapFlush.Hanging;

/// <summary>One of the six movements of a door: a shift along, or a turn about, one of the plan's axes.</summary>
/// <param name="Axis">The plan's axis: x, y or z.</param>
/// <param name="IsTurn">True for a turn (rad), false for a shift (mm).</param>
/// <param name="Value">Shift, mm, or turn, rad; null where the readings do not determine it.</param>
/// <param name="StandardUncertainty">Standard uncertainty in the same unit; null where the value is null, or where the method or the data give none.</param>
/// <param name="Lower95">Lower end of the 95 % interval, or null.</param>
/// <param name="Upper95">Upper end of the 95 % interval, or null.</param>
public sealed record Movement(char Axis, bool IsTurn, double? Value, double? StandardUncertainty, double? Lower95, double? Upper95)
{
    /// <summary>The name in running text.</summary>
    public string Words => IsTurn ? $"turn about {Axis}" : $"shift along {Axis}";
}
