using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>A hinge, latch, striker or stop that holds the door at a point along a direction and can move it there.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Name">Name of the adjuster.</param>
/// <param name="Position">Where it holds the door, mm.</param>
/// <param name="Direction">Unit vector along which a positive move takes the door.</param>
/// <param name="MinimumMm">Least move, mm.</param>
/// <param name="MaximumMm">Greatest move, mm. Both zero: a fixed support.</param>
/// <param name="StepMm">Step of the move, mm; null when stepless.</param>
public sealed record Adjuster(string Door, string Name, Point3 Position, Vector3 Direction, double MinimumMm, double MaximumMm, double? StepMm)
{
    /// <summary>True for a support that cannot be moved.</summary>
    public bool IsFixed => MinimumMm == 0 && MaximumMm == 0;
}
