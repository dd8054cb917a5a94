using GapFlush.Plan;

namespace GapFlush.Reports.Inspection;

/// <summary>What a gap or flush definition means, in a line for the inspector.</summary>
internal static class Definitions
{
    public static string Of(GapDefinition definition) => definition.Kind switch
    {
        GapKind.Nearest => "nearest: least distance between the two outlines",
        GapKind.Edge => definition.DepthMm is double depth ? Invariant($"edge: a straight blade pushed in square to the surround skin, {depth:0.##} mm deep") : "edge: a straight blade pushed in square to the surround skin",
        GapKind.Depth => Invariant($"depth: wall to wall {definition.DepthMm:0.##} mm below the surround skin"),
        GapKind.Corner => "corner: between the virtual corners of skin and wall",
        _ => "skin-end: between the ends of the skins",
    };

    public static string Of(FlushDefinition definition) => definition.Kind switch
    {
        FlushKind.TwoFoot => Invariant($"two-foot: a base with feet {definition.NearFootMm:0.##} and {definition.FarFootMm:0.##} mm back on the surround, the door touched {definition.SetBackMm:0.##} mm from its edge"),
        FlushKind.MidGap => "mid-gap: both skins carried straight to the middle of the gap",
        FlushKind.SkinEnd => "skin-end: between the ends of the skins",
        FlushKind.Corner => "corner: between the virtual corners",
        _ => Invariant($"curve-carried: the door touched {definition.SetBackMm:0.##} mm from its edge, against the surround's own curve carried on"),
    };
}
