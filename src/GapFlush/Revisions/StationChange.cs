using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Revisions;

/// <summary>What can be said of the change at one station.</summary>
public enum ChangeVerdict
{
    /// <summary>Proven to have changed, false discoveries over the door held to 5 %.</summary>
    Changed,

    /// <summary>Proven to have changed by less than matters.</summary>
    Alike,

    /// <summary>Neither.</summary>
    Undecided,
}

/// <summary>How one characteristic of one station changed from one mould revision to the next.</summary>
/// <remarks>Sign: later less earlier. Method: Welch; Benjamini-Hochberg over all stations, both characteristics, as hung and as shape together; two one-sided tests for equivalence.</remarks>
/// <param name="Station">Station.</param>
/// <param name="Characteristic">Gap or flush.</param>
/// <param name="IsShape">True where each build's own rigid movement was taken out first, so that scatter of hanging hides nothing; false as hung.</param>
/// <param name="Comparison">The comparison, later as first.</param>
/// <param name="AdjustedProbability">p value after Benjamini-Hochberg.</param>
/// <param name="Equivalence">Equivalence test.</param>
public sealed record StationChange(Station Station, Characteristic Characteristic, bool IsShape, TwoSampleComparison Comparison, double AdjustedProbability, Equivalence Equivalence)
{
    /// <summary>Later mean less earlier mean, mm.</summary>
    public double DifferenceMm => Comparison.Difference;

    /// <summary>95 % interval of the difference, mm.</summary>
    public Interval Interval95 => Comparison.WelchInterval();

    /// <summary>What can be said.</summary>
    public ChangeVerdict Verdict => AdjustedProbability < 0.05 ? ChangeVerdict.Changed : Equivalence.Probability < 0.05 ? ChangeVerdict.Alike : ChangeVerdict.Undecided;
}
