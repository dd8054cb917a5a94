using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Capability of normal data against limits, from mean and standard deviation, with intervals.</summary>
/// <remarks>
/// <para>Method: Pp = (U - L) / 6s; Ppu = (U - mean) / 3s; Ppl = (mean - L) / 3s; Ppk the lesser of those that exist. METHOD.md, eq. 1 to 4.</para>
/// <para>Intervals: Pp exact by chi-square. Ppu and Ppl exact: 3 √m Ppu is noncentral t, where m is the number of values behind the mean. Ppk of two
/// limits takes the exact interval of the nearer side; its coverage then lies between 94 and 98 % (CapabilityCoverageTests). Bissell's
/// normal approximation is given beside it.</para>
/// <para>Source: ISO 22514-2 terms [not opened]; A. F. Bissell, Applied Statistics 39 (1990) 331 [from memory].</para>
/// </remarks>
public sealed class CapabilityIndices
{
    /// <summary>States the capability of a sample of independent values.</summary>
    public CapabilityIndices(int count, double mean, double sd, Limits limits, double? target = null)
        : this(count, count - 1, mean, sd, limits, target) { }

    /// <summary>States the capability where the standard deviation has its own degrees of freedom, as with builds taken apart from stations.</summary>
    /// <param name="effectiveCount">Independent values that the mean is worth.</param>
    /// <param name="degreesOfFreedom">Degrees of freedom of the standard deviation, at least 1.</param>
    /// <param name="mean">Mean.</param>
    /// <param name="sd">Standard deviation, positive.</param>
    /// <param name="limits">Limits.</param>
    /// <param name="target">Target, or null.</param>
    /// <exception cref="ArgumentOutOfRangeException">Too few values, or no spread.</exception>
    public CapabilityIndices(double effectiveCount, double degreesOfFreedom, double mean, double sd, Limits limits, double? target = null)
    {
        if (!(degreesOfFreedom >= 1)) throw new ArgumentOutOfRangeException(nameof(degreesOfFreedom), degreesOfFreedom, "Capability needs two values or more.");
        if (!(sd > 0)) throw new ArgumentOutOfRangeException(nameof(sd), sd, "Capability needs some spread.");
        (EffectiveCount, DegreesOfFreedom, Mean, Sd, Limits, Target) = (effectiveCount, degreesOfFreedom, mean, sd, limits, target);
    }

    /// <summary>Independent values that the mean is worth.</summary>
    public double EffectiveCount { get; }

    /// <summary>Degrees of freedom of the standard deviation.</summary>
    public double DegreesOfFreedom { get; }

    /// <summary>Mean.</summary>
    public double Mean { get; }

    /// <summary>Standard deviation.</summary>
    public double Sd { get; }

    /// <summary>The limits.</summary>
    public Limits Limits { get; }

    /// <summary>Target, or null.</summary>
    public double? Target { get; }

    /// <summary>Width of the limits over six standard deviations; null with one limit.</summary>
    public double? Pp => Limits.Width / (6 * Sd);

    /// <summary>Distance to the upper limit over three standard deviations.</summary>
    public double? Ppu => (Limits.Upper - Mean) / (3 * Sd);

    /// <summary>Distance to the lower limit over three standard deviations.</summary>
    public double? Ppl => (Mean - Limits.Lower) / (3 * Sd);

    /// <summary>The lesser of <see cref="Ppu"/> and <see cref="Ppl"/>.</summary>
    public double Ppk => Math.Min(Ppu ?? double.PositiveInfinity, Ppl ?? double.PositiveInfinity);

    /// <summary>Width over six root mean squares about the target; null without two limits and a target.</summary>
    public double? Cpm => Target is double t ? Limits.Width / (6 * Math.Sqrt(Sd * Sd + (Mean - t) * (Mean - t))) : null;

    /// <summary>Distance of the mean from the middle, over half the width.</summary>
    public double? OffCentre => Limits.Width is double w ? Math.Abs((Limits.Upper!.Value + Limits.Lower!.Value) / 2 - Mean) / (w / 2) : null;

    /// <summary>Expected fraction below the lower limit; null without one.</summary>
    public double? FractionBelow => Ppl is double p ? NormalDistribution.UpperTail(3 * p) : null;

    /// <summary>Expected fraction above the upper limit; null without one.</summary>
    public double? FractionAbove => Ppu is double p ? NormalDistribution.UpperTail(3 * p) : null;

    /// <summary>Expected fraction outside.</summary>
    public double FractionOutside => (FractionBelow ?? 0) + (FractionAbove ?? 0);

    /// <summary>Exact interval of <see cref="Pp"/>.</summary>
    public Interval? PpInterval(double confidence = 0.95) => Pp is double pp
        ? new(pp * ChiRoot((1 - confidence) / 2), pp * ChiRoot((1 + confidence) / 2)) : null;

    /// <summary>Exact lower bound of <see cref="Pp"/>, one-sided.</summary>
    public double? PpLowerBound(double confidence = 0.95) => Pp * ChiRoot(1 - confidence);

    /// <summary>Exact interval of <see cref="Ppu"/>.</summary>
    public Interval? PpuInterval(double confidence = 0.95) => Ppu is double p ? ExactInterval(p, confidence) : null;

    /// <summary>Exact interval of <see cref="Ppl"/>.</summary>
    public Interval? PplInterval(double confidence = 0.95) => Ppl is double p ? ExactInterval(p, confidence) : null;

    /// <summary>Exact lower bound of <see cref="Ppu"/>, one-sided.</summary>
    public double? PpuLowerBound(double confidence = 0.95) => Ppu is double p ? ExactBound(p, 1 - confidence) : null;

    /// <summary>Exact lower bound of <see cref="Ppl"/>, one-sided.</summary>
    public double? PplLowerBound(double confidence = 0.95) => Ppl is double p ? ExactBound(p, 1 - confidence) : null;

    /// <summary>Interval of <see cref="Ppk"/>: that of the nearer side.</summary>
    public Interval PpkInterval(double confidence = 0.95) => ExactInterval(Ppk, confidence);

    /// <summary>Lower bound of <see cref="Ppk"/>, one-sided: that of the nearer side.</summary>
    public double PpkLowerBound(double confidence = 0.95) => ExactBound(Ppk, 1 - confidence);

    /// <summary>Bissell's approximate interval of <see cref="Ppk"/>.</summary>
    public Interval BissellInterval(double confidence = 0.95)
    {
        double half = NormalDistribution.UpperQuantile((1 - confidence) / 2) * BissellError;
        return new(Ppk - half, Ppk + half);
    }

    /// <summary>Bissell's approximate lower bound of <see cref="Ppk"/>, one-sided.</summary>
    public double BissellLowerBound(double confidence = 0.95) => Ppk - NormalDistribution.UpperQuantile(1 - confidence) * BissellError;

    /// <summary>Interval for the fraction outside. Exact with one limit; with two, at least the stated confidence (each side held apart).</summary>
    public Interval FractionOutsideInterval(double confidence = 0.95) => FractionOutsideInterval(PpuInterval(confidence), PplInterval(confidence));

    /// <summary>The same from the intervals of <see cref="Ppu"/> and <see cref="Ppl"/>, at least one of them given.</summary>
    internal static Interval FractionOutsideInterval(Interval? above, Interval? below)
    {
        if (above is not Interval a) return Turned(below!.Value);
        if (below is not Interval b) return Turned(a);
        Interval u = Turned(a), l = Turned(b);
        return new(Math.Max(u.Low, l.Low), Math.Min(1, u.High + l.High));

        static Interval Turned(Interval p) => new(NormalDistribution.UpperTail(3 * p.High), NormalDistribution.UpperTail(3 * p.Low));
    }

    /// <summary>
    /// How many values in all are needed until a Ppk of the goal is shown with that confidence, if mean and standard deviation stay as they are.
    /// Null when the Ppk itself does not exceed the goal, or when ten million would not do.
    /// </summary>
    public int? CountToShow(double goal, double confidence = 0.95)
    {
        if (!(Ppk > goal)) return null;
        bool Shown(int n)
        {
            // The bound reaches the goal exactly when P(T > observed) at the goal does not exceed 1 - confidence.
            double root = 3 * Math.Sqrt(n);
            return NoncentralTDistribution.UpperTail(root * Ppk, n - 1, root * goal) <= 1 - confidence;
        }
        return CountSearch.Least(1, 2, Shown);
    }

    private double BissellError => Math.Sqrt(1 / (9 * EffectiveCount) + Ppk * Ppk / (2 * DegreesOfFreedom));

    private double ChiRoot(double p) => Math.Sqrt(ChiSquareDistribution.Quantile(p, DegreesOfFreedom) / DegreesOfFreedom);

    private Interval ExactInterval(double index, double confidence) => new(ExactBound(index, (1 - confidence) / 2), ExactBound(index, (1 + confidence) / 2));

    private double ExactBound(double index, double upperTail)
    {
        double root = 3 * Math.Sqrt(EffectiveCount);
        return NoncentralTDistribution.NoncentralityFor(root * index, DegreesOfFreedom, upperTail) / root;
    }
}
