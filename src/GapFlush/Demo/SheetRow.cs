using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>One row of a readings sheet, as the inspector wrote it.</summary>
public sealed record SheetRow
{
    /// <summary>Serial written on the sheet.</summary>
    public required string Build { get; init; }

    /// <summary>Door written on the sheet.</summary>
    public required string Door { get; init; }

    /// <summary>Station.</summary>
    public required string Station { get; init; }

    /// <summary>What was read.</summary>
    public required Characteristic Characteristic { get; init; }

    /// <summary>The number written.</summary>
    public required double Value { get; init; }

    /// <summary>Decimals written.</summary>
    public int Decimals { get; init; } = 2;

    /// <summary>Unit written.</summary>
    public string Unit { get; init; } = "mm";

    /// <summary>Gauge.</summary>
    public required string Gauge { get; init; }

    /// <summary>Who read it.</summary>
    public required string Inspector { get; init; }

    /// <summary>When.</summary>
    public required DateTimeOffset TakenAt { get; init; }

    /// <summary>Number of the repeat, or null.</summary>
    public int? Repeat { get; init; }

    /// <summary>Temperature written, °C, or null where it was forgotten.</summary>
    public double? TemperatureC { get; init; }

    /// <summary>Stage written.</summary>
    public required string Stage { get; init; }

    /// <summary>Definition written, or null for the plan's own.</summary>
    public string? Definition { get; init; }

    /// <summary>Free note, or null.</summary>
    public string? Note { get; init; }

    /// <summary>Issue of the plan the sheet was printed from, or null.</summary>
    public string? PlanIssue { get; init; }
}
