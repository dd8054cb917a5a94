using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>How much of one build was within at once.</summary>
/// <param name="Build">Serial.</param>
/// <param name="Within">Limited values within.</param>
/// <param name="Judged">Limited values.</param>
/// <param name="Interval">95 % interval of the share (Wilson), as if places were independent.</param>
public sealed record BuildYield(string Build, int Within, int Judged, Interval Interval)
{
    /// <summary>The share.</summary>
    public double Share => (double)Within / Judged;
}
