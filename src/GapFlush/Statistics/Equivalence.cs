using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Two one-sided tests: is a difference proven to lie inside ± a margin?</summary>
/// <remarks>Source: D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657 [from memory].</remarks>
/// <param name="LowerProbability">p value against the difference being at or below minus the margin.</param>
/// <param name="UpperProbability">p value against the difference being at or above the margin.</param>
/// <param name="Interval90">The 90 % interval of the difference: inside ± the margin exactly when the p value is below 0.05.</param>
public sealed record Equivalence(double LowerProbability, double UpperProbability, Interval Interval90)
{
    /// <summary>The larger of the two p values.</summary>
    public double Probability => Math.Max(LowerProbability, UpperProbability);

    /// <summary>Tests a difference with its standard error.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The margin is not positive.</exception>
    public static Equivalence Of(double difference, double standardError, double degreesOfFreedom, double margin)
    {
        if (!(margin > 0)) throw new ArgumentOutOfRangeException(nameof(margin), margin, "The smallest difference that matters is positive.");
        double half = StudentDistribution.UpperQuantile(0.05, degreesOfFreedom) * standardError;
        return new(StudentDistribution.UpperTail((difference + margin) / standardError, degreesOfFreedom), StudentDistribution.Cdf((difference - margin) / standardError, degreesOfFreedom),
            new(difference - half, difference + half));
    }
}
