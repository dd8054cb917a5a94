using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Revisions;

/// <summary>How one derived value (seal compression, gap range, twist, closing load ...) changed from one mould revision to the next.</summary>
/// <remarks>Sign and tests: like <see cref="StationChange"/>, in the same family of tests. It tells what the change of mould means for the door; what to correct is told by gap and flush.</remarks>
/// <param name="Zone">Zone, or null for a value of the whole door.</param>
/// <param name="Station">Station, or null for a value of a zone or door.</param>
/// <param name="Characteristic">What is derived.</param>
/// <param name="Comparison">The comparison, later as first, in the unit of the characteristic.</param>
/// <param name="AdjustedProbability">p value after Benjamini-Hochberg.</param>
/// <param name="Equivalence">Equivalence test; null where no difference that matters is known in this unit.</param>
public sealed record DerivedChange(string? Zone, string? Station, Characteristic Characteristic, TwoSampleComparison Comparison, double AdjustedProbability, Equivalence? Equivalence)
{
    /// <summary>Later mean less earlier mean, in the unit of the characteristic.</summary>
    public double Difference => Comparison.Difference;

    /// <summary>95 % interval of the difference.</summary>
    public Interval Interval95 => Comparison.WelchInterval();

    /// <summary>The place in words.</summary>
    public string PlaceWords => Station ?? Zone ?? "whole door";

    /// <summary>What can be said.</summary>
    public ChangeVerdict Verdict => AdjustedProbability < 0.05 ? ChangeVerdict.Changed : Equivalence?.Probability < 0.05 ? ChangeVerdict.Alike : ChangeVerdict.Undecided;
}
