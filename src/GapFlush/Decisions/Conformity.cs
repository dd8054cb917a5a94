using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>A value with its uncertainty held against limits.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 1 to 4. Prove conformity: within where the value lies in the limits moved in by the expanded uncertainty, ends included;
/// outside beyond the limits moved out by it; undecided between. Simple acceptance: within in the limits as they stand, ends included.
/// Full values are compared, never rounded ones; a slack of <see cref="DecimalSlack"/> lets decimals compare as they are written.</para>
/// <para>Uncertainty not known, prove conformity: the verdict is the one that holds for every gauge fit for the limits, that is with an expanded uncertainty up to
/// <see cref="GaugeShare"/> of the band (of twice the distance from nominal where the band is one-sided); undecided where that cannot be said.</para>
/// <para>Accuracy: every case of the reference group decision_rule (ReferenceTests).</para>
/// <para>Source: ISO 14253-1:2017 [secondary summaries seen, the standard not opened]; conformance probability as in JCGM 106:2012 [from memory].</para>
/// </remarks>
/// <param name="Verdict">Within, undecided or outside.</param>
/// <param name="Words">The verdict in words with figures; null when within.</param>
/// <param name="ConformanceProbability">Chance that the true value lies within the limits, normal distribution about the value; null where the uncertainty is unknown.</param>
public sealed record Conformity(Verdict Verdict, string? Words, double? ConformanceProbability)
{
    /// <summary>A gauge is fit for limits when its expanded uncertainty is at most this share of the band (TRADE section 12).</summary>
    public const double GaugeShare = 0.25;

    /// <summary>Binary sums of decimals such as 3.5 + 0.08 are off by some 1e-16 of their size; this share of the larger limit is far above that and far
    /// below anything a gauge shows.</summary>
    public const double DecimalSlack = 1e-12;

    /// <summary>Judges a value.</summary>
    /// <param name="value">The value, in the unit of the limits.</param>
    /// <param name="expandedUncertainty">Expanded uncertainty, or null where it is not known.</param>
    /// <param name="coverageFactor">Factor from standard to expanded uncertainty.</param>
    /// <param name="limits">The limits.</param>
    /// <param name="rule">The decision rule.</param>
    /// <param name="nominal">Nominal value, used only for a one-sided band where the uncertainty is not known.</param>
    /// <exception cref="ArgumentException">The value is not finite, or the uncertainty or factor is negative or not a number.</exception>
    public static Conformity Judge(double value, double? expandedUncertainty, double coverageFactor, Limits limits, DecisionRule rule, double? nominal = null)
    {
        if (!double.IsFinite(value)) throw new ArgumentException(Invariant($"A value of {value} cannot be judged."), nameof(value));
        if (expandedUncertainty is double given && !(given >= 0 && double.IsFinite(given))) throw new ArgumentException(Invariant($"An expanded uncertainty of {given} is not possible."), nameof(expandedUncertainty));
        if (!(coverageFactor > 0)) throw new ArgumentException(Invariant($"A coverage factor of {coverageFactor} is not possible."), nameof(coverageFactor));

        double? probability = expandedUncertainty is double u ? Probability(value, u / coverageFactor, limits) : null;
        bool simple = rule == DecisionRule.SimpleAcceptance;
        double? band = simple ? 0 : expandedUncertainty ?? GaugeShare * Width(limits, nominal);
        double slack = DecimalSlack * Math.Max(Math.Abs(limits.Lower ?? 0), Math.Abs(limits.Upper ?? 0));
        Verdict verdict = band is not double moved ? Verdict.Undecided
            : !(value < limits.Lower + moved - slack) && !(value > limits.Upper - moved + slack) ? Verdict.Within
            : simple || value < limits.Lower - moved - slack || value > limits.Upper + moved + slack ? Verdict.Outside
            : Verdict.Undecided;
        return new(verdict, verdict == Verdict.Within ? null : Describe(value, expandedUncertainty, limits, verdict, simple), probability);
    }

    /// <summary>Chance that the true value lies within the limits.</summary>
    public static double Probability(double value, double standardUncertainty, Limits limits)
    {
        if (standardUncertainty == 0) return limits.Excess(value) == 0 ? 1 : 0;
        // Tail by tail, each from its own side: a difference of two numbers near 1 would lose the small ones.
        double below = limits.Lower is double lower ? NormalDistribution.Cdf((lower - value) / standardUncertainty) : 0;
        double above = limits.Upper is double upper ? NormalDistribution.Cdf((value - upper) / standardUncertainty) : 0;
        if (below > 0.5) return NormalDistribution.Cdf((value - limits.Lower!.Value) / standardUncertainty) - above;
        if (above > 0.5) return NormalDistribution.Cdf((limits.Upper!.Value - value) / standardUncertainty) - below;
        return 1 - below - above;
    }

    /// <summary>The limits moved in by a guard band: where a value must lie to be accepted. Ends may cross where the band is too wide for the limits.</summary>
    public static (double? Lower, double? Upper) AcceptanceZone(Limits limits, double guardBand) => (limits.Lower + guardBand, limits.Upper - guardBand);

    /// <summary>The guard band that leaves no more than 1 - probability beyond one limit: normal quantile times standard uncertainty.</summary>
    public static double GuardBand(double standardUncertainty, double probability) => NormalDistribution.Quantile(probability) * standardUncertainty;

    // The width that a gauge is held against: the band, or where it is one-sided twice the way from nominal to the limit.
    private static double? Width(Limits limits, double? nominal)
    {
        double? width = limits.Width ?? 2 * Math.Abs((limits.Upper ?? limits.Lower)!.Value - (nominal ?? double.NaN));
        return width > 0 ? width : null;
    }

    private static string Describe(double value, double? expanded, Limits limits, Verdict verdict, bool simple)
    {
        bool upper = limits.Lower is not double lower || (limits.Upper is double high && Math.Abs(value - high) <= Math.Abs(value - lower));
        double limit = (upper ? limits.Upper : limits.Lower)!.Value, over = upper ? value - limit : limit - value;
        string name = upper ? "upper" : "lower", away = over > 0 == upper ? "above" : "below";
        string place = over == 0 ? $"on the {name} limit {Figures.Text(limit)}" : $"{Figures.Text(Math.Abs(over))} {away} the {name} limit {Figures.Text(limit)}";
        // 0.0596 from the limit with an uncertainty of 0.0601 must not read as 0.06 against 0.06.
        if (expanded is double same && over != 0 && Figures.Text(same) == Figures.Text(Math.Abs(over)))
            return Invariant($"{Math.Abs(over):0.0000} {away} the {name} limit {Figures.Text(limit)}") + (verdict == Verdict.Outside ? "" : Invariant($", uncertainty {same:0.0000}: not proven {(over > 0 ? "outside" : "inside")}"));
        return verdict == Verdict.Outside ? simple || expanded is not null ? place : $"{place} (uncertainty not known)"
            : expanded is double u ? $"{place}, uncertainty {Figures.Text(u)}: not proven {(over > 0 ? "outside" : "inside")}"
            : $"{place}, uncertainty not known: not proven {(over > 0 ? "outside" : "inside")}";
    }
}
