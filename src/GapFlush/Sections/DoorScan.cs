using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>Sections at every station of a door from one scan, and how the scan was laid on the plan.</summary>
/// <param name="Door">The door.</param>
/// <param name="Stations">One for every station, in station order; those that could not be cut say why.</param>
/// <param name="Registration">How the scan lies in the plan's axes.</param>
/// <param name="Facts">What the file was.</param>
/// <param name="Stage">The stage asked for, or null.</param>
public sealed record DoorScan(Door Door, IReadOnlyList<StationSection> Stations, ScanRegistration Registration, ScanFacts Facts, string? Stage)
{
    /// <summary>The file, as the user named it.</summary>
    public string Source { get; init; } = "";

    /// <summary>False where no row of <c>gauges.csv</c> says how good the scanner itself is; its share is then not in any uncertainty.</summary>
    public bool ScannerIsKnown { get; init; } = true;
}
