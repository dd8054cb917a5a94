using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>How a scan is to be laid on the plan and cut.</summary>
public sealed record ScanRequest
{
    /// <summary>Targets to register by, or null.</summary>
    public ScanTargets? Targets { get; init; }

    /// <summary>True where the scan is in the plan's axes already.</summary>
    public bool Aligned { get; init; }

    /// <summary>The scan's unit in mm (1, 25.4 or 1000), or null where none was given: then mm, or what the format itself fixes.</summary>
    public double? UnitMm { get; init; }

    /// <summary>Stage whose nominal values hold, or null.</summary>
    public string? Stage { get; init; }

    /// <summary>How sections are taken.</summary>
    public SectionOptions Options { get; init; } = new();
}
