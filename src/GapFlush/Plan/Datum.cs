using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>A named target that a scan can be registered to.</summary>
/// <param name="Name">Name of the target.</param>
/// <param name="Position">Nominal place, mm.</param>
/// <param name="SigmaMm">Standard uncertainty of the place, mm, or null.</param>
public sealed record Datum(string Name, Point3 Position, double? SigmaMm);
