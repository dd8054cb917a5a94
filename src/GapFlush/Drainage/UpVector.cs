using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Which way is up in the plan's axes when the aircraft stands in an attitude.</summary>
/// <remarks>
/// <para>Frame: x aft, y starboard, z up. Pitch is nose up positive, roll is starboard wing down positive.</para>
/// <para>Method: up = (-sin p, -sin q cos p, cos q cos p); the height of a point is its product with up. METHOD.md, eq. 1.</para>
/// </remarks>
public static class UpVector
{
    /// <summary>The unit vector up.</summary>
    /// <param name="pitchDeg">Nose up positive, degrees.</param>
    /// <param name="rollDeg">Starboard wing down positive, degrees.</param>
    public static Vector3 For(double pitchDeg, double rollDeg)
    {
        (double sinP, double cosP) = Math.SinCos(double.DegreesToRadians(pitchDeg));
        (double sinQ, double cosQ) = Math.SinCos(double.DegreesToRadians(rollDeg));
        return new(-sinP, -sinQ * cosP, cosQ * cosP);
    }

    /// <summary>The unit vector up of an attitude.</summary>
    public static Vector3 For(Attitude attitude) => For(attitude.PitchDeg, attitude.RollDeg);
}
