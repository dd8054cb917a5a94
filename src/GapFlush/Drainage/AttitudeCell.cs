namespace GapFlush.Drainage;

/// <summary>One attitude of an <see cref="AttitudeMap"/>.</summary>
/// <param name="PitchDeg">Pitch, degrees.</param>
/// <param name="RollDeg">Roll, degrees.</param>
/// <param name="DepthMm">Deepest water that stands in the channel, mm; infinite where nothing known holds it.</param>
/// <param name="VolumeMl">Water that stands in the channel, mL; null where a section is not given.</param>
/// <param name="Outlets">Outlets that the channel's water goes to, as channel/point, in the order of the runs.</param>
public sealed record AttitudeCell(double PitchDeg, double RollDeg, double DepthMm, double? VolumeMl, IReadOnlyList<string> Outlets);
