using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>A point of a channel's floor, as the plan has it or as it was measured.</summary>
/// <param name="Plan">The row of the plan: section, depth, outlet, catchment and least slope from this point on.</param>
/// <param name="Position">Where the floor is, mm.</param>
/// <param name="HeightUncertaintyMm">Standard uncertainty of its height, mm; 0 for a nominal point, null where none was stated.</param>
public sealed record FloorPoint(ChannelPoint Plan, Point3 Position, double? HeightUncertaintyMm)
{
    /// <summary>Name of the point.</summary>
    public string Name => Plan.Name;

    /// <summary>True where water can leave at this point.</summary>
    public bool IsOutlet => Plan.Outlet != ChannelOutlet.None;
}
