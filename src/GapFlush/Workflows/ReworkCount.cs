using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>How often a zone was outside in one characteristic: each value outside is a place to rework.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Zone">Zone, or null for the whole door.</param>
/// <param name="Characteristic">Characteristic.</param>
/// <param name="Count">Values outside.</param>
/// <param name="Builds">Builds with at least one of them.</param>
/// <param name="UpToHere">Share of all rework down to and including this line.</param>
public sealed record ReworkCount(string Door, string? Zone, Characteristic Characteristic, int Count, int Builds, double UpToHere)
{
    /// <summary>The place and characteristic in words.</summary>
    public string Words => $"{Door} {Zone} {Characteristic.Words}".Replace("  ", " ", StringComparison.Ordinal);
}
