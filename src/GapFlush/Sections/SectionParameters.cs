using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>The numbers that some gap and flush definitions need beside the outlines; mm.</summary>
/// <param name="EdgeDepthMm">How deep below the surround's tangent an edge extreme is looked for (h); positive infinity for the whole wall.</param>
/// <param name="NearFootMm">Set-back of the nearer foot of a two-foot base from the surround's edge extreme (a1).</param>
/// <param name="FarFootMm">Set-back of the farther foot (a2).</param>
/// <param name="SetBackMm">Set-back of the touched point of the door from its edge extreme (b).</param>
public sealed record SectionParameters(double EdgeDepthMm, double NearFootMm, double FarFootMm, double SetBackMm)
{
    // Common practice, no source: a bridge gauge with feet 5 and 20 mm back from the edge. Used where a plan asks for a definition and leaves its numbers out.
    private const double UsualNearFoot = 5, UsualFarFoot = 20, UsualSetBack = 5;

    /// <summary>The numbers that a door's definitions give; the usual ones where they give none.</summary>
    public static SectionParameters Of(Door door) => new(
        door.GapDefinition.Kind == GapKind.Edge && door.GapDefinition.DepthMm is double depth ? depth : double.PositiveInfinity,
        door.FlushDefinition.NearFootMm ?? UsualNearFoot,
        door.FlushDefinition.FarFootMm ?? UsualFarFoot,
        door.FlushDefinition.SetBackMm ?? UsualSetBack);
}
