namespace GapFlush.Seals;

/// <summary>The seal at one place round the door.</summary>
/// <param name="Station">Name of the station.</param>
/// <param name="AlongMm">Developed length from the start of the perimeter, mm.</param>
/// <param name="CompressionPercent">Compression, per cent of free height; negative where the seal does not touch; null where it is not known.</param>
/// <param name="LeastPercent">Least compression allowed here, or null.</param>
/// <param name="MostPercent">Most compression allowed here, or null.</param>
/// <param name="Curve">Load curve of the seal fitted here, or null where none is given.</param>
/// <param name="OwnUncertaintyPercent">Standard uncertainty that belongs to this station alone, per cent of free height.</param>
/// <param name="CommonUncertaintyPercent">Standard uncertainty shared by all stations (the gauge's own error), per cent of free height.</param>
/// <param name="IsPredicted">True where the compression was worked out from flush and plan, not from a land gap reading.</param>
public sealed record SealStation(string Station, double AlongMm, double? CompressionPercent, double? LeastPercent = null, double? MostPercent = null,
    SealLoadCurve? Curve = null, double OwnUncertaintyPercent = 0, double CommonUncertaintyPercent = 0, bool IsPredicted = false)
{
    /// <summary>False where no seal runs past this station: nothing presses there, and nothing is missing.</summary>
    public bool HasSeal { get; init; } = true;
}
