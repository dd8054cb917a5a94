using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>How many builds passed at once.</summary>
/// <param name="Passed">Builds with no value outside.</param>
/// <param name="Builds">Builds.</param>
/// <param name="Interval">95 % interval of the share (Wilson).</param>
public sealed record FirstPassYield(int Passed, int Builds, Interval Interval)
{
    /// <summary>The share.</summary>
    public double Share => (double)Passed / Builds;
}
