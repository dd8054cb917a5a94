using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Plan;

namespace GapFlush.Reports.Maps;

/// <summary>What a map of one door shows.</summary>
/// <param name="Plan">The plan.</param>
/// <param name="Door">The door.</param>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Stage">Stage judged at, or null.</param>
/// <param name="Rows">The judged rows of the door; those of zones and of the door itself are counted, not drawn.</param>
/// <param name="Facts">What the title block tells besides: dates of readings, inspectors, gauges, temperature; label and value, a line or two each.</param>
/// <param name="Doubts">How many doubts there are about the data of this door.</param>
public sealed record DoorMapContent(FitPlan Plan, Door Door, string Build, string? Stage, IReadOnlyList<ResultRow> Rows, IReadOnlyList<(string Label, string Value)> Facts, int Doubts)
{
    /// <summary>Drain channels to draw beside the seam; none where they were not looked at.</summary>
    public IReadOnlyList<ChannelResult> Channels { get; init; } = [];

    /// <summary>Index of the attitude in which they are drawn.</summary>
    public int Attitude { get; init; }
}
