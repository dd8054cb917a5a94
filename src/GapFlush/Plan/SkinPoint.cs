using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>A point of the nominal skin.</summary>
/// <param name="Position">Place, mm.</param>
/// <param name="Normal">Unit outward normal.</param>
/// <param name="Door">The door whose skin it is, or null for the surround.</param>
public sealed record SkinPoint(Point3 Position, Vector3 Normal, string? Door);
