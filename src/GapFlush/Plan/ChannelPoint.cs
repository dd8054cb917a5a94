using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>Cross-section of a drain channel.</summary>
public enum ChannelShape
{
    /// <summary>Flat floor, upright sides.</summary>
    Rectangular,

    /// <summary>Flat floor, sloping sides.</summary>
    Trapezoidal,

    /// <summary>Two sloping sides that meet.</summary>
    Triangular,

    /// <summary>A half circle.</summary>
    HalfRound,
}

/// <summary>Whether water can leave a channel at a point.</summary>
public enum ChannelOutlet
{
    /// <summary>No outlet here.</summary>
    None,

    /// <summary>The channel ends open.</summary>
    OpenEnd,

    /// <summary>A hole in the bottom.</summary>
    Hole,
}

/// <summary>One point along the bottom of a drain channel: a row of <c>channels.csv</c>.</summary>
/// <param name="Name">Name of the point, unique within its channel.</param>
/// <param name="Position">Place on the channel bottom, mm.</param>
/// <param name="Shape">Cross-section from this point on.</param>
/// <param name="WidthMm">Bottom width (diameter for a half circle), mm, or null where not given.</param>
/// <param name="DepthMm">Depth to the lip, mm, or null.</param>
/// <param name="SideSlope">Horizontal over vertical of the sides, or null.</param>
/// <param name="Roughness">Manning roughness n, s/m^(1/3), or null.</param>
/// <param name="Outlet">Whether water can leave here.</param>
/// <param name="OutletDiameterMm">Diameter of the hole, mm, or null.</param>
/// <param name="CatchmentM2">Plan area that drains in at this point, m², or null.</param>
/// <param name="MinSlopePercent">Least slope asked for from this point on, per cent, or null.</param>
/// <param name="Line">Line in the file, for messages.</param>
public sealed record ChannelPoint(string Name, Point3 Position, ChannelShape Shape, double? WidthMm, double? DepthMm, double? SideSlope, double? Roughness,
    ChannelOutlet Outlet, double? OutletDiameterMm, double? CatchmentM2, double? MinSlopePercent, int Line);
