using GapFlush.Statistics;

namespace GapFlush.Reports.Charts;

/// <summary>One row of an interval chart.</summary>
/// <param name="Label">Name of the place.</param>
/// <param name="Value">Estimate, or null where there is none.</param>
/// <param name="Interval">Its interval, or null.</param>
/// <param name="Strong">True for a full mark, false for an open one.</param>
/// <param name="Flagged">True for a square round the mark.</param>
public sealed record IntervalItem(string Label, double? Value, Interval? Interval, bool Strong, bool Flagged = false);
