using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Scans;

/// <summary>One touch of a portable arm or tracker on one side of a seam.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Door">Door code.</param>
/// <param name="Station">Station.</param>
/// <param name="IsDoor">True for the door, false for the surround.</param>
/// <param name="IsEdge">True for a touch on the edge or its return, false for one on the skin.</param>
/// <param name="Centre">Centre of the ball, in the axes and unit of the file.</param>
/// <param name="BallRadius">Radius of the ball, in the unit of the file; 0 where the points lie on the surface.</param>
/// <param name="Stage">Stage, or null.</param>
/// <param name="Line">Line of the file.</param>
public sealed record ProbedPoint(string Build, string Door, Station Station, bool IsDoor, bool IsEdge, Point3 Centre, double BallRadius, string? Stage, int Line);
