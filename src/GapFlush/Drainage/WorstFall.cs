namespace GapFlush.Drainage;

/// <summary>The least fall of a run over a box of attitudes, and where.</summary>
/// <param name="Slope">Fall over horizontal run there.</param>
/// <param name="PitchDeg">Pitch of the worst attitude, degrees, nose up positive.</param>
/// <param name="RollDeg">Roll of the worst attitude, degrees, starboard wing down positive.</param>
public sealed record WorstFall(Slope Slope, double PitchDeg, double RollDeg);
