namespace GapFlush.Plan;

/// <summary>A rain gutter or sill channel as a chain of bottom points, in order.</summary>
/// <param name="Name">Name of the channel.</param>
/// <param name="Door">Door it belongs to, or null.</param>
/// <param name="Points">Points along the bottom; at least two.</param>
public sealed record Channel(string Name, string? Door, IReadOnlyList<ChannelPoint> Points);
