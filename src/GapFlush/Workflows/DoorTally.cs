namespace GapFlush.Workflows;

/// <summary>What the charts of one door say together, one pair of mould revisions at a stage.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Stage">Stage, or null.</param>
/// <param name="DoorMould">Revision of the door mould, or null.</param>
/// <param name="SurroundMould">Revision of the surround mould, or null.</param>
/// <param name="Builds">Builds that any of the charts shows.</param>
/// <param name="Charts">Places and characteristics charted.</param>
/// <param name="Signals">Of them, those on which a chart signals.</param>
/// <param name="Moved">Of them, those whose mean is proven to have changed or to drift.</param>
/// <param name="Outside">Values outside the plan's limits.</param>
public sealed record DoorTally(string Door, string? Stage, string? DoorMould, string? SurroundMould, int Builds, int Charts, int Signals, int Moved, int Outside)
{
    /// <summary>Counts door by door, in the order of the lines; what was never charted is left out.</summary>
    internal static DoorTally[] Of(IEnumerable<TrendLine> lines) =>
        [.. lines.GroupBy(l => (l.Series.Key.Door, l.Series.Key.Stage, l.Series.Key.DoorMould, l.Series.Key.SurroundMould)).Select(g => new DoorTally(g.Key.Door, g.Key.Stage, g.Key.DoorMould, g.Key.SurroundMould,
            g.SelectMany(l => l.Series.Builds).Distinct().Count(), g.Count(l => l.Trend is not null), g.Count(l => l.HasSignal), g.Count(l => l.Trend is { HasChanged: true } or { Drifts: true }), g.Sum(l => l.Outside.Count))).Where(t => t.Charts > 0)];
}
