using GapFlush.Geometry;

namespace GapFlush.Plan.Files;

/// <summary>A row of <c>stations.csv</c> before it is known which way u points.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Name">Name of the station.</param>
/// <param name="Zone">Its zone.</param>
/// <param name="Position">Place, mm.</param>
/// <param name="Normal">Unit normal.</param>
/// <param name="Tangent">Unit tangent, square to the normal.</param>
/// <param name="Row">The row, for messages.</param>
internal sealed record StationRow(string Door, string Name, string Zone, Point3 Position, Vector3 Normal, Vector3 Tangent, PlanRow Row);
