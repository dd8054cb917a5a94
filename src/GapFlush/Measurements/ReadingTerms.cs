namespace GapFlush.Measurements;

/// <summary>What the readings of one sheet have in common, as far as their values at plan conditions depend on it.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Stage">Stage, or null where it was left blank.</param>
/// <param name="Gauge">Gauge name, or null.</param>
/// <param name="WrittenUnit">The unit they were logged in.</param>
/// <param name="TemperatureC">Temperature of the parts, °C, or null.</param>
/// <param name="ExpandedUncertainty">Expanded uncertainty given with the row, or null.</param>
public sealed record ReadingTerms(string Build, string? Stage, string? Gauge, string WrittenUnit, double? TemperatureC, double? ExpandedUncertainty)
{
    /// <summary>True where all but the build is the same.</summary>
    public bool IsLike(ReadingTerms other) =>
        TemperatureC == other.TemperatureC && ExpandedUncertainty == other.ExpandedUncertainty && Stage == other.Stage && Gauge == other.Gauge && WrittenUnit == other.WrittenUnit;
}
