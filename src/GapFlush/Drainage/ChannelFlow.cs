namespace GapFlush.Drainage;

/// <summary>What a channel carries in one attitude.</summary>
public sealed record ChannelFlow
{
    /// <summary>What its own catchments bring at the rain asked for, L/s; null where rain or catchments are not given.</summary>
    public double? InflowLPerS { get; init; }

    /// <summary>Inflow of its own catchments at which its first run or hole is full by Manning and the laws of the hole, L/s, shared as the catchments are (where there
    /// are none, taken in at the head); null where a run that carries water does not fall, a size is missing, or no outlet is reached.</summary>
    public double? CapacityLPerS { get; init; }

    /// <summary>What sets the capacity: "run 3 to 4" or "hole 8"; or why there is none.</summary>
    public required string CapacitySetBy { get; init; }

    /// <summary>Rain at which the water first touches the lip, mm/h; 0 where water cannot reach an outlet below the lip at all; null where it cannot be told or lies
    /// above <see cref="NetworkFlow.MostRainMmPerH"/>.</summary>
    public double? OverflowRainMmPerH { get; init; }

    /// <summary>The point next to which it does; null without an overflow rain.</summary>
    public string? OverflowAt { get; init; }

    /// <summary>What goes over the lip at the rain asked for, L/s: the inflow less what just does not go over; null where it cannot be told.</summary>
    public double? OverflowLPerS { get; init; }

    /// <summary>Depth of the water at each point at the rain asked for, mm; empty where it cannot be told.</summary>
    public IReadOnlyList<double> DepthMm { get; init; } = [];

    /// <summary>Reynolds number of the run that sets the capacity, at capacity; null without one.</summary>
    public double? Reynolds { get; init; }

    /// <summary>Slope that a smooth wall would need there for the same depth and flow, per cent; null without one.</summary>
    public double? SmoothWallSlopePercent { get; init; }

    /// <summary>Slope of that run, per cent.</summary>
    public double? CapacitySlopePercent { get; init; }

    /// <summary>Critical depth in that run at capacity, mm.</summary>
    public double? CriticalDepthMm { get; init; }

    /// <summary>What the rule of EN 12056-3 gives for a level gutter of this size and length, L/s: a cross-check by name. Null beyond its table or without a size.</summary>
    public double? LevelGutterRuleLPerS { get; init; }

    /// <summary>True where Manning's formula is only a guess.</summary>
    public bool IsGuess => Reynolds < UniformFlow.LeastReynoldsForManning;

    /// <summary>The holes of the channel.</summary>
    public IReadOnlyList<HoleInChannel> Holes { get; init; } = [];
}
