using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>One observed value of one characteristic at one station of one door of one build at one stage, as it was logged.</summary>
/// <remarks>Only the unit is converted: <see cref="Value"/> is in the characteristic's own unit. Temperature, paint and the rest come later.</remarks>
public sealed record Reading
{
    /// <summary>Serial of the aircraft.</summary>
    public required string Build { get; init; }

    /// <summary>Door code.</summary>
    public required string Door { get; init; }

    /// <summary>Station name.</summary>
    public required string Station { get; init; }

    /// <summary>What was read.</summary>
    public required Characteristic Characteristic { get; init; }

    /// <summary>The value in the characteristic's unit.</summary>
    public required double Value { get; init; }

    /// <summary>The value as it stands in the file.</summary>
    public required string WrittenValue { get; init; }

    /// <summary>The unit it was logged in (<c>mm</c>, <c>in</c>, <c>um</c>, <c>%</c>).</summary>
    public required string WrittenUnit { get; init; }

    /// <summary>Decimals that were logged, in the logged unit: what a resolution check looks at.</summary>
    public int WrittenDecimals { get; init; }

    /// <summary>Gauge name, or null.</summary>
    public string? Gauge { get; init; }

    /// <summary>Who read it, or null.</summary>
    public string? Inspector { get; init; }

    /// <summary>When it was read, or null.</summary>
    public DateTimeOffset? TakenAt { get; init; }

    /// <summary>Number of the repeat, or null.</summary>
    public int? Repeat { get; init; }

    /// <summary>Temperature of the parts, °C, or null.</summary>
    public double? TemperatureC { get; init; }

    /// <summary>Stage, or null where the row left it blank.</summary>
    public string? Stage { get; init; }

    /// <summary>Definition code given with the row, or null for the plan's own.</summary>
    public string? Definition { get; init; }

    /// <summary>Expanded uncertainty (k = 2) given with the row, in the characteristic's unit, or null.</summary>
    public double? ExpandedUncertainty { get; init; }

    /// <summary>The issue of the plan that the sheet was printed from, or null.</summary>
    public string? PlanIssue { get; init; }

    /// <summary>Free note, or null.</summary>
    public string? Note { get; init; }

    /// <summary>The file it came from, as the user named it.</summary>
    public required string Source { get; init; }

    /// <summary>Line in that file, from 1.</summary>
    public required int Line { get; init; }
}
