using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>One value of one characteristic at plan conditions with its uncertainty, or the reason why there is none. The narrow waist:
/// gauge readings, scans and probes all end here, and every judgement starts here.</summary>
public sealed record Measurement
{
    /// <summary>Serial of the aircraft.</summary>
    public required string Build { get; init; }

    /// <summary>Door code.</summary>
    public required string Door { get; init; }

    /// <summary>Zone, or null for a value of a whole door.</summary>
    public string? Zone { get; init; }

    /// <summary>Station, or null for a value of a zone or door.</summary>
    public string? Station { get; init; }

    /// <summary>What it is a value of.</summary>
    public required Characteristic Characteristic { get; init; }

    /// <summary>Definition code of the gap or flush meant, or null where none applies.</summary>
    public string? Definition { get; init; }

    /// <summary>Stage the value is stated for, or null.</summary>
    public string? Stage { get; init; }

    /// <summary>The value at plan conditions, in the characteristic's unit; null when there is none.</summary>
    public double? Value { get; init; }

    /// <summary>The value before any correction but the unit (mean over repeats); null when there is none.</summary>
    public double? RawValue { get; init; }

    /// <summary>What was added to the raw value and why, in the order applied: ("temperature 31.0 to 20.0 °C", -0.12).</summary>
    public IReadOnlyList<(string Why, double Amount)> Corrections { get; init; } = [];

    /// <summary>The sources of uncertainty; empty when there is no value.</summary>
    public IReadOnlyList<UncertaintyComponent> Budget { get; init; } = [];

    /// <summary>Combined standard uncertainty in the characteristic's unit; null when there is no value or nothing is known of it.</summary>
    public double? StandardUncertainty { get; init; }

    /// <summary>Effective degrees of freedom (Welch-Satterthwaite); positive infinity where every source is taken as known.</summary>
    public double DegreesOfFreedom { get; init; } = double.PositiveInfinity;

    /// <summary>Factor from standard to expanded uncertainty: 2, or the t factor for 95.45 % where the degrees of freedom are few.</summary>
    public double CoverageFactor { get; init; } = 2;

    /// <summary>Expanded uncertainty: coverage factor times standard uncertainty; null when that is unknown.</summary>
    public double? ExpandedUncertainty => CoverageFactor * StandardUncertainty;

    /// <summary>Where it came from.</summary>
    public required MeasurementOrigin Origin { get; init; }

    /// <summary>The readings behind it; empty for a section.</summary>
    public IReadOnlyList<Reading> Readings { get; init; } = [];

    /// <summary>Why there is no value, or what to know about it; null when there is nothing to say.</summary>
    public string? Reason { get; init; }

    /// <summary>Where it belongs, in words: its station, its zone, its channel and attitude, or the whole door.</summary>
    public string Place => Characteristic.Scope == CharacteristicScope.Channel ? $"{Zone}{(Definition is null ? "" : $", {Definition}")}" : Station ?? Zone ?? "whole door";
}
