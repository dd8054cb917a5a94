namespace GapFlush.Plan;

/// <summary>What painting adds between two paint states, on each side of the seam.</summary>
/// <param name="From">Paint state before.</param>
/// <param name="To">Paint state after.</param>
/// <param name="EdgeBuildMm">Thickness added to each edge, mm; both edges close the gap, so the gap falls by twice this.</param>
/// <param name="FaceBuildMm">Door thickness added minus surround thickness added on the outer faces, mm; flush rises by this.</param>
public sealed record PaintAllowance(string From, string To, double EdgeBuildMm, double FaceBuildMm)
{
    /// <summary>Thickness added on seal land and carrier together, mm; the land gap falls by this. Null where the plan does not say, 0 where they are masked.</summary>
    public double? LandBuildMm { get; init; }
}
