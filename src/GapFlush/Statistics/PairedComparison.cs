using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Before and after on the same pieces: the mean of the differences.</summary>
/// <remarks>Sign: after minus before.</remarks>
public sealed class PairedComparison
{
    /// <summary>Compares pairs.</summary>
    /// <param name="before">Values before, shape (n), n at least 2.</param>
    /// <param name="after">Values after, same order.</param>
    /// <exception cref="ArgumentException">The lengths differ or are below two.</exception>
    public PairedComparison(IReadOnlyList<double> before, IReadOnlyList<double> after)
    {
        if (before.Count != after.Count || before.Count < 2) throw new ArgumentException("Pairs need as many values after as before, two or more.");
        Differences = new([.. after.Zip(before, (a, b) => a - b)]);
    }

    /// <summary>The differences.</summary>
    public SampleSummary Differences { get; }

    /// <summary>Mean difference over its standard error.</summary>
    public double T => Differences.Mean / Differences.MeanStandardError;

    /// <summary>Pairs less one.</summary>
    public int DegreesOfFreedom => Differences.Count - 1;

    /// <summary>Two-sided p value.</summary>
    public double Probability => StudentDistribution.TwoSided(T, DegreesOfFreedom);

    /// <summary>Is the mean difference proven to be smaller than a margin?</summary>
    public Equivalence Equivalence(double margin) => Statistics.Equivalence.Of(Differences.Mean, Differences.MeanStandardError, DegreesOfFreedom, margin);
}
