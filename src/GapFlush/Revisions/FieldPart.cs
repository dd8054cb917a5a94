using GapFlush.Statistics;

namespace GapFlush.Revisions;

/// <summary>One part of the change of a whole door: a movement, the size, or a wave of its shape.</summary>
/// <param name="Name">The part in words.</param>
/// <param name="Unit">mm or mrad.</param>
/// <param name="Comparison">Its value on each build, later revision as first: the difference is later less earlier.</param>
public sealed record FieldPart(string Name, string Unit, TwoSampleComparison Comparison)
{
    /// <summary>Later less earlier.</summary>
    public double Difference => Comparison.Difference;

    /// <summary>95 % interval.</summary>
    public Interval Interval95 => Comparison.WelchInterval();

    /// <summary>True where the interval leaves zero out.</summary>
    public bool IsProven => Comparison.WelchProbability < 0.05;
}
