namespace GapFlush.Drainage;

/// <summary>Water that stays in a stretch of channel after everything that can run has run.</summary>
/// <param name="Floor">The channel.</param>
/// <param name="First">Index of its first wet point.</param>
/// <param name="Last">Index of its last wet point.</param>
/// <param name="LowIndex">Index of its lowest point.</param>
/// <param name="FromMm">Where it begins, horizontal run from the first point of the channel, mm.</param>
/// <param name="ToMm">Where it ends, mm.</param>
/// <param name="DepthMm">Greatest depth, upright, mm; null where nothing is known to hold it.</param>
/// <param name="VolumeMl">Volume, mL; null where the plan gives no section, or nothing is known to hold it.</param>
/// <param name="Sill">The point at which it would spill; null where none is known.</param>
/// <param name="HeldBy">What holds it at its level.</param>
public sealed record Pond(ChannelFloor Floor, int First, int Last, int LowIndex, double FromMm, double ToMm, double? DepthMm, double? VolumeMl, FloorPoint? Sill, PondHeldBy HeldBy)
{
    /// <summary>Name of the lowest point.</summary>
    public string LowPoint => Floor.Points[LowIndex].Name;

    /// <summary>Length along the run, mm.</summary>
    public double LengthMm => ToMm - FromMm;

    /// <summary>Standard uncertainty of the depth from the two heights it is the difference of, mm; null where one was not stated.</summary>
    public double? DepthUncertaintyMm
    {
        get
        {
            FloorPoint low = Floor.Points[LowIndex];
            if (HeldBy == PondHeldBy.Lip && (Sill is null || Sill == low)) return 0;
            return Sill?.HeightUncertaintyMm is double sill && low.HeightUncertaintyMm is double floor ? Math.Sqrt(sill * sill + floor * floor) : null;
        }
    }
}
