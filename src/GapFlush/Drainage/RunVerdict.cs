using GapFlush.Decisions;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>A run of a channel held against its least slope.</summary>
/// <param name="Run">The run in its attitude.</param>
/// <param name="Limits">The band its slope must lie in, per cent.</param>
/// <param name="Verdict">What can be said.</param>
/// <param name="Reason">The verdict in words; null when within.</param>
public sealed record RunVerdict(ChannelRun Run, Limits Limits, Verdict Verdict, string? Reason)
{
    /// <summary>Expanded uncertainty of the slope (k = 2), per cent; null where it is not known.</summary>
    public double? ExpandedUncertaintyPercent => 2 * Run.SlopeUncertaintyPercent;
}
