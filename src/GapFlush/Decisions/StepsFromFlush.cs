using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>The steps that a flush makes in the airflow at a station: one that faces the flow, one that faces away from it.</summary>
/// <remarks>
/// <para>Frame: u points from the surround into the door. Where the flow runs along u, it meets surround before door (the door's upstream edge),
/// and a proud door faces it; where it runs against u, it leaves the door, and a proud door faces away. METHOD.md, eq. 5 to 7.</para>
/// <para>Edges along the flow count little: with q = flow in the skin · u, the whole height counts down to |q| = <see cref="FullCrossing"/> (an edge swept by
/// 60°), below that the height times |q| / <see cref="FullCrossing"/>.</para>
/// <para>No answer (null): the flow stands square to the skin there.</para>
/// <para>Source: TRADE sections 3 and 9 (facing and normal component); the value of <see cref="FullCrossing"/> is common practice, no source.</para>
/// </remarks>
/// <param name="ForwardMm">Height of the step that faces the flow, mm; 0 where there is none.</param>
/// <param name="AftMm">Height of the step that faces away from the flow, mm; 0 where there is none.</param>
/// <param name="Factor">Share of the flush that counts, 0 to 1: the steps' uncertainty is that of the flush times this.</param>
public sealed record StepsFromFlush(double ForwardMm, double AftMm, double Factor)
{
    /// <summary>Down to this component of the flow across the seam a step counts in full.</summary>
    public const double FullCrossing = 0.5;

    /// <summary>The steps of a flush.</summary>
    /// <param name="station">The station.</param>
    /// <param name="airflow">Unit vector of the flow.</param>
    /// <param name="flushMm">Flush, mm; positive where the door stands proud.</param>
    public static StepsFromFlush? At(Station station, Vector3 airflow, double flushMm)
    {
        Vector3 along = airflow - airflow.Dot(station.Normal) * station.Normal;
        if (along.Length < 0.1) return null;   // within 6° of square: where the air goes from there is not for a plan to say
        double across = along.ToUnit().Dot(station.IntoDoor), factor = Math.Min(1, Math.Abs(across) / FullCrossing);
        double facing = flushMm * factor * Math.Sign(across);
        return new(Math.Max(0, facing), Math.Max(0, -facing), factor);
    }
}
