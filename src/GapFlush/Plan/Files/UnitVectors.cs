using GapFlush.Geometry;

namespace GapFlush.Plan.Files;

/// <summary>How exactly the directions of a plan must be written.</summary>
/// <remarks>Three decimals are enough: each component is then within 0.0005, the length within √3 × 0.0005 = 0.00087, and the scalar product of two such
/// vectors within 2 × 0.00087 = 0.0017 of the true one. What lies within the tolerances is made exact silently; a larger error is not rounding but a slip.</remarks>
internal static class UnitVectors
{
    /// <summary>Greatest distance of a length from 1.</summary>
    public const double LengthTolerance = 0.001;

    /// <summary>Greatest scalar product of two vectors that should be square to one another.</summary>
    public const double SquareTolerance = 0.002;

    /// <summary>What a message expects.</summary>
    public static string Expected { get; } = Invariant($"a unit vector (length 1 within {LengthTolerance})");

    /// <summary>The vector at length 1, or null where it is too long or too short.</summary>
    public static Vector3? Exact(Vector3 v) => Math.Abs(v.Length - 1) <= LengthTolerance ? v.ToUnit() : null;

    /// <summary>What a message says was found.</summary>
    public static string Found(Vector3 v) => Invariant($"{v.X}, {v.Y}, {v.Z}, of length {v.Length:0.####}");

    /// <summary>How to mend a vector of another length.</summary>
    public static string Remedy(Vector3 v) => v.Length > 1e-9
        ? Invariant($"Divide all three components by {v.Length:0.######}, or correct the one that is wrong.")
        : "Give a direction; all three components are zero.";
}
