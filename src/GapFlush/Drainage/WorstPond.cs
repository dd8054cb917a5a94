namespace GapFlush.Drainage;

/// <summary>The worst water that stands in a channel over a box of attitudes, and where.</summary>
/// <param name="Value">Depth in mm or volume in mL; 0 where the channel is dry in every attitude of the box.</param>
/// <param name="PitchDeg">Pitch of the attitude, degrees, nose up positive.</param>
/// <param name="RollDeg">Roll of the attitude, degrees, starboard wing down positive.</param>
/// <param name="Bound">No attitude of the box has more than this.</param>
/// <param name="Converged">True where bound and value agree to the tolerance asked for; false where the search stopped at its limit of boxes.</param>
/// <param name="Boxes">Boxes of attitudes looked at.</param>
public sealed record WorstPond(double Value, double PitchDeg, double RollDeg, double Bound, bool Converged, int Boxes);
