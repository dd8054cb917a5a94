namespace GapFlush.Drainage;

/// <summary>How well two measured heights tell the slope between them. METHOD.md, eq. 3 and 4.</summary>
/// <remarks>The two heights are taken as independent and the distance as known. Source: JCGM 100:2008 (GUM), 5.1.2 [from memory; clause not opened].</remarks>
public static class FallUncertainty
{
    /// <summary>Standard uncertainty of the slope between two heights, per cent.</summary>
    /// <param name="heightAMm">Standard uncertainty of one height, mm.</param>
    /// <param name="heightBMm">Standard uncertainty of the other, mm.</param>
    /// <param name="runMm">Horizontal distance between them, mm.</param>
    public static double Percent(double heightAMm, double heightBMm, double runMm) => 100 * Math.Sqrt(heightAMm * heightAMm + heightBMm * heightBMm) / runMm;

    /// <summary>How far apart two heights must be taken for the expanded uncertainty of the slope to be a given share of the limit, mm.</summary>
    /// <param name="heightMm">Standard uncertainty of each height, mm.</param>
    /// <param name="coverageFactor">Factor from standard to expanded uncertainty.</param>
    /// <param name="limitPercent">The limit, per cent.</param>
    /// <param name="share">The share, 0 to 1; a quarter is the usual one [common practice, no source].</param>
    public static double SpacingNeeded(double heightMm, double coverageFactor, double limitPercent, double share = 0.25) =>
        coverageFactor * Math.Sqrt(2) * heightMm / (limitPercent / 100 * share);
}
