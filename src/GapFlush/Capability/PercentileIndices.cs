using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Capability;

/// <summary>Capability by percentiles of any distribution: where six standard deviations stood, the span from 0.135 % to 99.865 % stands.</summary>
/// <remarks>
/// <para>Method: Pp = (U - L) / (X99.865 - X0.135); Ppu = (U - X50) / (X99.865 - X50); Ppl = (X50 - L) / (X50 - X0.135). METHOD.md, eq. 5 to 7.</para>
/// <para>Source: ISO 22514-2 and -4, as quoted in public glossaries [the standards were not opened].</para>
/// </remarks>
public sealed class PercentileIndices
{
    /// <summary>States the capability of a distribution against limits.</summary>
    public PercentileIndices(FittedDistribution distribution, Limits limits)
    {
        (Distribution, Limits) = (distribution, limits);
        (Low, Median, High) = (distribution.Quantile(0.00135), distribution.Quantile(0.5), distribution.Quantile(0.99865));
    }

    /// <summary>The distribution.</summary>
    public FittedDistribution Distribution { get; }

    /// <summary>The limits.</summary>
    public Limits Limits { get; }

    /// <summary>The 0.135 % point.</summary>
    public double Low { get; }

    /// <summary>The median.</summary>
    public double Median { get; }

    /// <summary>The 99.865 % point.</summary>
    public double High { get; }

    /// <summary>Width over span; null with one limit.</summary>
    public double? Pp => Limits.Width / (High - Low);

    /// <summary>Upper index.</summary>
    public double? Ppu => (Limits.Upper - Median) / (High - Median);

    /// <summary>Lower index.</summary>
    public double? Ppl => (Median - Limits.Lower) / (Median - Low);

    /// <summary>The lesser of those that exist.</summary>
    public double Ppk => Math.Min(Ppu ?? double.PositiveInfinity, Ppl ?? double.PositiveInfinity);

    /// <summary>Expected fraction below the lower limit; null without one.</summary>
    public double? FractionBelow => Limits.Lower is double l ? Distribution.LowerTail(l) : null;

    /// <summary>Expected fraction above the upper limit; null without one.</summary>
    public double? FractionAbove => Limits.Upper is double u ? Distribution.UpperTail(u) : null;

    /// <summary>Expected fraction outside.</summary>
    public double FractionOutside => (FractionBelow ?? 0) + (FractionAbove ?? 0);

    /// <summary>Upper index of a normal process with the same fraction above; null without a limit or where the fraction is 0.</summary>
    public double? PpuFromFraction => FromFraction(FractionAbove);

    /// <summary>Lower index of a normal process with the same fraction below; null without a limit or where the fraction is 0.</summary>
    public double? PplFromFraction => FromFraction(FractionBelow);

    private static double? FromFraction(double? fraction) => fraction is double f && f > 0 ? NormalDistribution.UpperQuantile(f) / 3 : null;
}
