namespace GapFlush.Reports.Drawing;

/// <summary>A circle, drawn or filled or both.</summary>
/// <param name="Centre">Centre.</param>
/// <param name="RadiusMm">Radius, mm.</param>
/// <param name="Stroke">How its edge is drawn, or null.</param>
/// <param name="Fill">Colour inside, or null.</param>
public sealed record Disc(Place Centre, double RadiusMm, Stroke? Stroke, Ink? Fill = null) : Shape;
