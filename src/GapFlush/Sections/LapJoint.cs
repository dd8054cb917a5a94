using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>A joint in which the door's flange laps over a land of the surround, in a section square to the seam.</summary>
/// <remarks>
/// <para>Frame: u along the surround's skin from surround to door, v outward. The land is the line v = -<paramref name="LandDepthMm"/>, ending at
/// <paramref name="LandEndMm"/>; the flange's inner face is a straight line from its tip.</para>
/// <para>METHOD.md, eq. 17 to 19; plane geometry, accuracy 1e-9 mm (SeamSectionTests).</para>
/// </remarks>
/// <param name="LandDepthMm">Depth of the land below the surround's skin, mm.</param>
/// <param name="LandEndMm">Where the land ends, along u, mm.</param>
/// <param name="FlangeTip">Tip of the flange, on its inner face.</param>
/// <param name="FlangeTiltRad">Turn of the flange's inner face against the land, counter-clockwise, rad.</param>
public sealed record LapJoint(double LandDepthMm, double LandEndMm, Point2 FlangeTip, double FlangeTiltRad)
{
    /// <summary>Length by which the flange passes behind the land's end, along u, mm; negative where it does not reach it.</summary>
    public double LapMm => LandEndMm - FlangeTip.X;

    /// <summary>The same with the sign of a gap: positive when open.</summary>
    public double GapMm => -LapMm;

    /// <summary>Clearance between land and flange, square to the land, mm.</summary>
    public double ClearanceAtMm(double uMm) => FlangeTip.Y + (uMm - FlangeTip.X) * Math.Tan(FlangeTiltRad) + LandDepthMm;

    /// <summary>The same clearance square to the flange, mm.</summary>
    public double ClearanceSquareToFlangeAtMm(double uMm) => ClearanceAtMm(uMm) * Math.Cos(FlangeTiltRad);

    /// <summary>Compression of a seal, % of its free height; negative where it does not touch.</summary>
    public static double CompressionPercent(double clearanceMm, double freeHeightMm) => 100 * (freeHeightMm - clearanceMm) / freeHeightMm;
}
