namespace GapFlush.Drainage;

/// <summary>How hard it rains, and what that brings to a channel.</summary>
/// <remarks>One millimetre of rain in an hour is one litre on a square metre in an hour. METHOD.md, eq. 21.</remarks>
/// <param name="MmPerH">Depth of rain per hour, mm/h.</param>
public readonly record struct RainIntensity(double MmPerH)
{
    /// <summary>Millimetres per minute.</summary>
    public double MmPerMin => MmPerH / 60;

    /// <summary>Inches per hour.</summary>
    public double InchesPerH => MmPerH / 25.4;

    /// <summary>Litres per second on a square metre.</summary>
    public double LitresPerSecondM2 => MmPerH / 3600;

    /// <summary>Flow from a catchment, L/s.</summary>
    /// <param name="catchmentM2">Horizontal area that drains to the place, m².</param>
    public double LitresPerSecond(double catchmentM2) => LitresPerSecondM2 * catchmentM2;

    /// <summary>From millimetres per minute.</summary>
    public static RainIntensity FromMmPerMin(double mmPerMin) => new(60 * mmPerMin);

    /// <summary>From inches per hour.</summary>
    public static RainIntensity FromInchesPerH(double inches) => new(25.4 * inches);

    /// <summary>From litres per second on a square metre.</summary>
    public static RainIntensity FromLitresPerSecondM2(double litres) => new(3600 * litres);
}
