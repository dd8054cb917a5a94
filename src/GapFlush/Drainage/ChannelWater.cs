namespace GapFlush.Drainage;

/// <summary>One channel in one attitude.</summary>
/// <param name="Floor">The channel.</param>
/// <param name="DistanceMm">Horizontal run of each point from the first, mm.</param>
/// <param name="HeightMm">Height of each point in the attitude, mm over the first point of the network.</param>
/// <param name="LevelMm">Level of the water at each point, mm, like the height; equal to it where the point is dry, infinite where nothing holds the water.</param>
/// <param name="Runs">The runs, in order.</param>
/// <param name="Ponds">The ponds, in order.</param>
/// <param name="FallMm">Fall to the outlet by the way the water goes, mm: the farthest point that drains to it over the outlet, the least where there are several
/// outlets; null without one.</param>
/// <param name="HighPoints">Points that split the flow.</param>
public sealed record ChannelWater(ChannelFloor Floor, IReadOnlyList<double> DistanceMm, IReadOnlyList<double> HeightMm, IReadOnlyList<double> LevelMm,
    IReadOnlyList<ChannelRun> Runs, IReadOnlyList<Pond> Ponds, double? FallMm, IReadOnlyList<string> HighPoints)
{
    /// <summary>The least slope of any run, per cent; null where none has one.</summary>
    public double? LeastSlopePercent => Runs.Min(r => r.SlopePercent);

    /// <summary>The greatest pond depth, mm; 0 where the channel is dry, null where a pond is held by nothing known.</summary>
    public double? PondDepthMm => Ponds.Any(p => p.DepthMm is null) ? null : Ponds.Max(p => p.DepthMm) ?? 0;

    /// <summary>The volume of all ponds, mL; 0 where dry, null where one is not known.</summary>
    public double? PondVolumeMl => Ponds.Any(p => p.VolumeMl is null) ? null : Ponds.Sum(p => p.VolumeMl);

    /// <summary>Highest minus lowest point, mm.</summary>
    public double HeightRangeMm => HeightMm.Max() - HeightMm.Min();
}
