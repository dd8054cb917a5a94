namespace GapFlush.Drainage;

/// <summary>The floor from one point of a channel to the next, in one attitude.</summary>
/// <param name="Floor">The channel.</param>
/// <param name="Index">Index of the point it starts from.</param>
/// <param name="LengthMm">Horizontal length, mm.</param>
/// <param name="RiseMm">Height of the next point over this one, mm.</param>
/// <param name="TowardsLast">True where its water goes on to the next point, false where it goes back; null where no outlet is reached.</param>
/// <param name="DrainsTo">The outlet its water goes to, as channel/point; null where there is none.</param>
public sealed record ChannelRun(ChannelFloor Floor, int Index, double LengthMm, double RiseMm, bool? TowardsLast, string? DrainsTo)
{
    /// <summary>Name of the point it starts from.</summary>
    public string From => Floor.Points[Index].Name;

    /// <summary>Name of the point it ends at.</summary>
    public string To => Floor.Points[Index + 1].Name;

    /// <summary>Fall by the way the water goes, mm; negative where the floor rises towards the outlet. Null where no outlet is reached.</summary>
    public double? FallMm => TowardsLast is bool on ? (on ? -RiseMm : RiseMm) : null;

    /// <summary>Fall over horizontal run, per cent; null without an outlet, and for an upright run.</summary>
    public double? SlopePercent => FallMm is double fall && LengthMm > 1e-9 ? new Slope(fall / LengthMm).Percent : null;

    /// <summary>Standard uncertainty of the slope, per cent; null where one of the two heights carries none.</summary>
    public double? SlopeUncertaintyPercent =>
        Floor.Points[Index].HeightUncertaintyMm is double a && Floor.Points[Index + 1].HeightUncertaintyMm is double b && LengthMm > 1e-9 ? FallUncertainty.Percent(a, b, LengthMm) : null;

    /// <summary>True where the floor rises on the way to the outlet.</summary>
    public bool IsReversed => FallMm < 0;
}
