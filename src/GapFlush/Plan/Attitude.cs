namespace GapFlush.Plan;

/// <summary>A way the aircraft stands.</summary>
/// <param name="Name">Name of the attitude.</param>
/// <param name="PitchDeg">Nose up positive, degrees.</param>
/// <param name="RollDeg">Starboard wing down positive, degrees.</param>
public sealed record Attitude(string Name, double PitchDeg, double RollDeg);
