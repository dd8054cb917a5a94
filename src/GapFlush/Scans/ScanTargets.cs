using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Scans;

/// <summary>Targets found in a scan, each with the datum of the plan that it is.</summary>
/// <param name="Pairs">Datum, and its place in the scan's axes.</param>
public sealed record ScanTargets(IReadOnlyList<(Datum Datum, Point3 InScan)> Pairs)
{
    /// <summary>The file they were read from.</summary>
    public string Source { get; init; } = "targets";
}
