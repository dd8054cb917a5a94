using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>How a scan lies in the plan's axes, how that was found, and how well it is held.</summary>
/// <param name="Motion">From the scan, in mm, to the plan.</param>
/// <param name="Method">How it was found, in words that can be printed.</param>
/// <param name="PlaceUncertaintyMm">Standard uncertainty of a place on the seam from this, mm.</param>
/// <param name="Remarks">What to know about it: residuals, doubtful targets, weakly held movements.</param>
public sealed record ScanRegistration(RigidMotion Motion, string Method, double PlaceUncertaintyMm, IReadOnlyList<string> Remarks)
{
    /// <summary>The uncertainty of any place and direction; null where nothing was registered.</summary>
    public MotionUncertainty? Uncertainty { get; init; }

    /// <summary>The same, its place uncertainty taken at the stations of a door.</summary>
    public ScanRegistration At(Door door) => Uncertainty is null ? this : this with { PlaceUncertaintyMm = Uncertainty.Worst(door) };
}
