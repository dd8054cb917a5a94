namespace GapFlush.Adjustment;

/// <summary>How good a position of a door is: fewest values outside their limits first, then the smallest worst excess, then the largest worst margin.</summary>
/// <remarks>All in mm of door movement at the seam, so that a gap, a step and a seal compare; METHOD.md, eq. 5 to 8.</remarks>
/// <param name="Outside">How many judged values lie outside their limits as they stand.</param>
/// <param name="WorstExcessMm">The largest excess of those, mm; 0 where none is outside. Local shape that is set apart does not count here.</param>
/// <param name="WorstMarginMm">The least margin of those inside, mm: distance to the nearer limit less the expanded uncertainty where conformity is to be proven, so that it is negative where
/// a value is undecided.</param>
public readonly record struct FitScore(int Outside, double WorstExcessMm, double WorstMarginMm)
{
    /// <summary>Values closer than this count as equal, mm: far above the rounding of the search, far below anything a gauge shows.</summary>
    public const double Same = 1e-6;

    /// <summary>True where this position is better than another by more than rounding.</summary>
    public bool IsBetterThan(FitScore other) => Outside != other.Outside ? Outside < other.Outside
        : WorstExcessMm < other.WorstExcessMm - Same || (WorstExcessMm <= other.WorstExcessMm + Same && WorstMarginMm > other.WorstMarginMm + Same);
}
