namespace GapFlush.Readings;

/// <summary>One measured height of a channel's floor, as it was logged.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Channel">Channel.</param>
/// <param name="Point">Point of the channel.</param>
/// <param name="X">Measured x, mm; null where only the height was taken.</param>
/// <param name="Y">Measured y, mm; null where only the height was taken.</param>
/// <param name="Z">Height, mm; the mean where the point was taken several times.</param>
/// <param name="StandardUncertaintyMm">Standard uncertainty of the height, mm, from the row or its gauge, less by the root of the repeats; null where neither states one.</param>
/// <param name="Repeats">Times the point was taken.</param>
/// <param name="Line">Line of the first of them in the file.</param>
public sealed record ChannelLevel(string Build, string Channel, string Point, double? X, double? Y, double Z, double? StandardUncertaintyMm, int Repeats, int Line);
