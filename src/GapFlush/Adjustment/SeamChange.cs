using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>What a movement of the door changes at one place of the seam.</summary>
/// <param name="Place">Station or zone.</param>
/// <param name="GapMm">Change of gap, mm; positive opens.</param>
/// <param name="FlushMm">Change of flush, mm; positive stands prouder.</param>
/// <param name="LandGapMm">Change of the seal's land gap, mm; positive takes compression away.</param>
public sealed record SeamChange(string Place, double GapMm, double FlushMm, double LandGapMm)
{
    /// <summary>The change at a station.</summary>
    public static SeamChange At(FitPlan plan, Door door, Station station, SmallDisplacement displacement)
    {
        Vector3 moved = displacement.At(station.Position);
        return new(station.Name, station.IntoDoor.Dot(moved), station.Normal.Dot(moved), LandDirection(plan, door, station).Dot(moved));
    }

    /// <summary>The direction along which a movement of the door opens the seal.</summary>
    internal static Vector3 LandDirection(FitPlan plan, Door door, Station station) => OpensWithGap(plan, door, station) ? station.IntoDoor : station.Normal;

    /// <summary>True for a seal between the edges, which opens with the gap; false for a lapped seal, which opens with the flush.</summary>
    internal static bool OpensWithGap(FitPlan plan, Door door, Station station) => plan.SealOf(door.Code, station.Zone)?.Joint == SealJoint.Butt;
}
