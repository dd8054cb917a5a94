using GapFlush.Plan;

namespace GapFlush.Reports.Maps;

/// <summary>The stations of a door as they are seen from outside, for whoever draws the outline elsewhere.</summary>
/// <param name="Places">A place a station, in their order: mm to the right and down from the upper left corner of the outline.</param>
/// <param name="Width">Width of the outline, mm.</param>
/// <param name="Height">Height of the outline, mm.</param>
public sealed record DoorOutline(IReadOnlyList<(double Right, double Down)> Places, double Width, double Height)
{
    /// <summary>The outline of a door, square to its own plane, up at the top.</summary>
    public static DoorOutline Of(FitPlan plan, Door door)
    {
        OutlineView view = new(plan, door);
        (double Right, double Up)[] at = [.. door.Stations.Select(s => view.At(s.Position))];
        double left = at.Min(p => p.Right), top = at.Max(p => p.Up);
        return new([.. at.Select(p => (p.Right - left, top - p.Up))], at.Max(p => p.Right) - left, top - at.Min(p => p.Up));
    }
}
