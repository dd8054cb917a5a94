using System.Collections.Concurrent;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Capability;

/// <summary>Capability of one series against its limits, the distribution chosen by stated rule and the method named.</summary>
/// <remarks>
/// <para>Rule (METHOD.md, section "Which method"): below 8 values normal is assumed, not tested. From 8 on, Anderson-Darling decides at 5 %. A characteristic that cannot be
/// negative, and whose normal fit would put more than 0.135 % below 0, is near its bound and is not taken as normal whatever the test says. Where normal does not hold,
/// the families that fit the support are fitted; of those whose normal scores pass Anderson-Darling the one with the least AICc is taken (percentile
/// method). Where none passes, the count outside is all that is said (distribution-free).</para>
/// <para>Two groups of sigma: Cp, Cpk from the moving range (what the process could do), Pp, Ppk from all values (what it did).</para>
/// <para>Intervals: normal as in <see cref="CapabilityIndices"/>; percentile by the delta method with Student's t, approximate; distribution-free
/// Clopper-Pearson.</para>
/// <para>No answer (null): indices without limits, below two values or without spread.</para>
/// </remarks>
public sealed class ProcessCapability
{
    /// <summary>From so many values on normality is tested.</summary>
    public const int LeastToTest = 8;

    /// <summary>Normality is rejected below this p value.</summary>
    public const double RejectBelow = 0.05;

    /// <summary>The share that a normal fit may put beyond a physical bound before the bound counts: what lies beyond three sigma.</summary>
    public const double LargestShareBeyondBound = 0.00135;

    /// <summary>The rules by which a series is called not in control: with 30 values in control about one series in eight is called so.</summary>
    public static IReadOnlyList<RunRule> ControlRules { get; } = [RunRule.BeyondThreeSigma, RunRule.SameSide(9)];

    // A factor takes thousands of times longer than a look-up, and the places of a door have the same few counts.
    private static readonly ConcurrentDictionary<int, double> ToleranceFactorsByCount = new();

    private ProcessCapability(int count, double mean) => (Count, Mean) = (count, mean);

    /// <summary>Independent values: builds.</summary>
    public int Count { get; }

    /// <summary>Mean.</summary>
    public double Mean { get; }

    /// <summary>Short-term standard deviation, or null.</summary>
    public double? SdWithin { get; private init; }

    /// <summary>Overall standard deviation, or null.</summary>
    public double? SdOverall { get; private init; }

    /// <summary>For values of several places: standard deviation between builds; null for a single series.</summary>
    public double? SdBetweenBuilds { get; private init; }

    /// <summary>The limits, or null.</summary>
    public Limits? Limits { get; private init; }

    /// <summary>Cp, or null.</summary>
    public double? Cp { get; private init; }

    /// <summary>Cpk, or null.</summary>
    public double? Cpk { get; private init; }

    /// <summary>Pp, or null.</summary>
    public double? Pp { get; private init; }

    /// <summary>Ppk, or null.</summary>
    public double? Ppk { get; private init; }

    /// <summary>95 % interval of <see cref="Ppk"/>, or null.</summary>
    public Interval? PpkInterval { get; private init; }

    /// <summary>One-sided 95 % lower bound of <see cref="Ppk"/>, or null.</summary>
    public double? PpkLowerBound { get; private init; }

    /// <summary>What was done, in words.</summary>
    public required string Method { get; init; }

    /// <summary>Anderson-Darling A² corrected for the count, or null where it was not tested.</summary>
    public double? NormalityA2 { get; private init; }

    /// <summary>Its p value, or null.</summary>
    public double? NormalityProbability { get; private init; }

    /// <summary>Shapiro-Wilk, or null.</summary>
    public TestResult? ShapiroWilk { get; private init; }

    /// <summary>The distribution the indices rest on; null where they rest on none.</summary>
    public FittedDistribution? Distribution { get; private init; }

    /// <summary>Expected fraction outside, or null without limits.</summary>
    public double? FractionOutside { get; private init; }

    /// <summary>95 % interval of <see cref="FractionOutside"/>, or null.</summary>
    public Interval? FractionOutsideInterval { get; private init; }

    /// <summary>Values seen outside.</summary>
    public int SeenOutside { get; private init; }

    /// <summary>True in control, false not, null where it cannot be told (fewer than 8 values, or no order of making).</summary>
    public bool? InControl { get; private init; }

    /// <summary>The signals, in words; empty where there is none.</summary>
    public IReadOnlyList<string> Signals { get; private init; } = [];

    /// <summary>Builds in all that would show a Ppk of 1.33 with 95 % confidence if mean and spread stay; null where that cannot come about or is already shown.</summary>
    public int? CountForGoal { get; private init; }

    /// <summary>The usual goal.</summary>
    public const double Goal = 1.33;

    /// <summary>True when a Ppk of 1.33 is shown with 95 % confidence.</summary>
    public bool GoalIsShown => PpkLowerBound >= Goal;

    /// <summary>What it takes to show a Ppk of 1.33 with 95 % confidence, as a phrase.</summary>
    public string GoalWords => Limits is null || Ppk is null ? "not judged"
        : GoalIsShown ? "shown with 95 % confidence"
        : CountForGoal is int n ? Invariant($"{(SdBetweenBuilds is null ? "" : "about ")}{Math.Max(1, n - Count)} more build{(n - Count == 1 ? "" : "s")} like these")
        : Ppk > Goal ? "not shown yet"
        : "mean or spread must change";

    /// <summary>Factor k of <see cref="ToleranceInterval"/>: mean ± k s; null where there is none.</summary>
    public double? ToleranceFactor { get; private init; }

    /// <summary>Interval that holds 99 % of builds with 95 % confidence, normal data; null for other methods or below two values.</summary>
    public Interval? ToleranceInterval { get; private init; }

    /// <summary>States the capability of values in order of making.</summary>
    /// <param name="values">One value a build, in order of making; at least one.</param>
    /// <param name="limits">Limits, or null.</param>
    /// <param name="cannotBeNegative">True where 0 is a physical bound.</param>
    /// <param name="names">Names of the values for signals; null for their numbers.</param>
    public static ProcessCapability Of(IReadOnlyList<double> values, Limits? limits, bool cannotBeNegative = false, IReadOnlyList<string>? names = null)
    {
        SampleSummary s = new([.. values]);
        int n = s.Count, seen = limits is null ? 0 : values.Count(v => limits.Excess(v) > 0);
        if (n < 2) return new(n, s.Mean) { Method = "one value: no spread", Limits = limits, SeenOutside = seen };
        double within = WithinSigma.FromMovingRanges(values);
        (bool? inControl, IReadOnlyList<string> signals) = Control(values, names);
        if (!(s.Sd > 1e-12 * Math.Max(1e-6, Math.Abs(s.Mean))))
            return new(n, s.Mean) { Method = "all values alike: no spread", Limits = limits, SdOverall = 0, SdWithin = 0, SeenOutside = seen, InControl = inControl, Signals = signals };
        (double A2, double Corrected, double Probability)? test = Normality.AndersonDarling(s);
        bool nearBound = cannotBeNegative && n >= LeastToTest && s.Minimum >= 0 && NormalDistribution.UpperTail(s.Mean / s.Sd) > LargestShareBeyondBound;
        bool normal = !nearBound && (test is null || test.Value.Probability >= RejectBelow);
        CapabilityIndices? short_ = limits is not null && within > 0 ? new(n, s.Mean, within, limits) : null;
        ProcessCapability start = new(n, s.Mean)
        {
            Method = "",
            Limits = limits,
            SdWithin = within,
            SdOverall = s.Sd,
            Cp = short_?.Pp,
            Cpk = short_?.Ppk,
            NormalityA2 = test?.Corrected,
            NormalityProbability = test?.Probability,
            ShapiroWilk = Normality.ShapiroWilk(s),
            SeenOutside = seen,
            InControl = inControl,
            Signals = signals,
        };
        if (normal) return start.WithNormal(n < LeastToTest ? Invariant($"normal, assumed: {n} values are too few to test") : "normal", s, limits);
        FittedDistribution? chosen = Choose(s, cannotBeNegative);
        return chosen is null ? start.DistributionFree(s, limits) : start.WithPercentiles(chosen, s, limits, nearBound);
    }

    /// <summary>
    /// States the capability of a zone or door: values of several places on several builds, the variance between builds taken apart from that within them.
    /// Twenty places of five builds are five builds, and the interval says so.
    /// </summary>
    /// <param name="builds">The values of each build, in order of making; at least two builds.</param>
    /// <param name="limits">Limits, or null.</param>
    /// <param name="names">Names of the builds for signals.</param>
    /// <param name="cannotBeNegative">True where 0 is a physical bound.</param>
    public static ProcessCapability OfPlaces(IReadOnlyList<IReadOnlyList<double>> builds, Limits? limits, IReadOnlyList<string>? names = null, bool cannotBeNegative = false)
    {
        if (builds.All(b => b.Count == 1)) return Of([.. builds.Select(b => b[0])], limits, cannotBeNegative, names);
        double[] all = [.. builds.SelectMany(b => b)], means = [.. builds.Select(b => b.Average())];
        SampleSummary s = new(all);
        int seen = limits is null ? 0 : all.Count(v => limits.Excess(v) > 0);
        if (builds.Count < 2) return new(builds.Count, s.Mean) { Method = "one build: spread between builds cannot be told", Limits = limits, SdWithin = all.Length > 1 ? s.Sd : null, SeenOutside = seen };
        (bool? inControl, IReadOnlyList<string> signals) = Control(means, names);
        if (!(s.Sd > 1e-12 * Math.Max(1e-6, Math.Abs(s.Mean))))
            return new(builds.Count, s.Mean) { Method = "all values alike: no spread", Limits = limits, SdOverall = 0, SdWithin = 0, SeenOutside = seen, InControl = inControl, Signals = signals };
        VarianceComponents v = new(builds);
        (double A2, double Corrected, double Probability)? test = Normality.AndersonDarling(new(means));
        bool nearBound = cannotBeNegative && s.Minimum >= 0 && builds.Count >= LeastToTest && NormalDistribution.UpperTail(s.Mean / s.Sd) > LargestShareBeyondBound;
        double n0 = v.EffectiveSize, msb = v.Anova.BetweenMeanSquare, msw = v.Anova.WithinMeanSquare, total = all.Length;
        // One place of one build: variance between builds plus within, as an unbiased sum of mean squares.
        double variance = msb / n0 + (1 - 1 / n0) * msw, between = Math.Max(0, v.BetweenFromMeanSquares);
        if (nearBound || test?.Probability < RejectBelow)
        {
            return new(builds.Count, s.Mean)
            {
                Method = Invariant($"distribution-free: {(nearBound ? "near the bound at 0" : "means of builds are not normal")}, so the share outside is all that is said, builds as clusters ({builds.Count} builds, {all.Length} values)"),
                Limits = limits,
                SdWithin = Math.Sqrt(msw),
                SdOverall = Math.Sqrt(variance),
                SdBetweenBuilds = Math.Sqrt(between),
                NormalityA2 = test?.Corrected,
                NormalityProbability = test?.Probability,
                FractionOutside = limits is null ? null : (double)seen / all.Length,
                FractionOutsideInterval = limits is null ? null : Proportion.ExactOfClusters([.. builds.Select(b => (b.Count(x => limits.Excess(x) > 0), b.Count))]),
                SeenOutside = seen,
                InControl = inControl,
                Signals = signals,
            };
        }
        CapabilityIndices? overall = limits is null ? null : new(builds.Count, builds.Count - 1, s.Mean, Math.Sqrt(variance), limits);
        (Interval Ppk, double LowerBound, Interval Fraction)? intervals = limits is null ? null : PlacesIntervals.Of(s.Mean, v, total, limits);
        CapabilityIndices? within = limits is null || !(msw > 0) ? null : new(total, Math.Max(1, v.Anova.WithinDegreesOfFreedom), s.Mean, Math.Sqrt(msw), limits);
        return new(builds.Count, s.Mean)
        {
            Method = Invariant($"normal, between-build and within-build variance apart ({builds.Count} builds, {all.Length} values)"),
            Limits = limits,
            SdWithin = Math.Sqrt(msw),
            SdOverall = Math.Sqrt(variance),
            SdBetweenBuilds = Math.Sqrt(between),
            NormalityA2 = test?.Corrected,
            NormalityProbability = test?.Probability,
            Cp = within?.Pp,
            Cpk = within?.Ppk,
            Pp = overall?.Pp,
            Ppk = overall?.Ppk,
            PpkInterval = intervals?.Ppk,
            PpkLowerBound = intervals?.LowerBound,
            CountForGoal = overall?.Ppk > Goal && !(intervals?.LowerBound >= Goal) ? PlacesIntervals.CountToShow(s.Mean, v, total, limits!, Goal) : null,
            FractionOutside = overall?.FractionOutside,
            FractionOutsideInterval = intervals?.Fraction,
            SeenOutside = seen,
            InControl = inControl,
            Signals = signals,
        };
    }

    private ProcessCapability WithNormal(string method, SampleSummary s, Limits? limits)
    {
        double k = ToleranceFactorsByCount.GetOrAdd(s.Count, n => ToleranceFactors.TwoSided(n, 0.99, 0.95));
        CapabilityIndices? i = limits is null ? null : new(s.Count, s.Mean, s.Sd, limits);
        double? bound = i?.PpkLowerBound();
        Interval? above = i?.PpuInterval(), below = i?.PplInterval();
        return new(Count, Mean)
        {
            Method = method,
            Limits = limits,
            SdWithin = SdWithin,
            SdOverall = SdOverall,
            Cp = Cp,
            Cpk = Cpk,
            Pp = i?.Pp,
            Ppk = i?.Ppk,
            PpkInterval = i is null ? null : above is null || i.Ppl < i.Ppu ? below : above,
            PpkLowerBound = bound,
            NormalityA2 = NormalityA2,
            NormalityProbability = NormalityProbability,
            ShapiroWilk = ShapiroWilk,
            Distribution = FittedDistribution.Normal(s.Mean, s.Sd),
            FractionOutside = i?.FractionOutside,
            FractionOutsideInterval = i is null ? null : CapabilityIndices.FractionOutsideInterval(above, below),
            SeenOutside = SeenOutside,
            InControl = InControl,
            Signals = Signals,
            CountForGoal = bound >= Goal ? null : i?.CountToShow(Goal),
            ToleranceFactor = k,
            ToleranceInterval = new(s.Mean - k * s.Sd, s.Mean + k * s.Sd),
        };
    }

    private ProcessCapability WithPercentiles(FittedDistribution chosen, SampleSummary s, Limits? limits, bool nearBound)
    {
        PercentileIndices? i = limits is null ? null : new(chosen, limits);
        (Interval Ppk, double LowerBound, Interval Fraction, double StandardError)? intervals = limits is null ? null : DeltaIntervals.Of(chosen, s, limits);
        return new(Count, Mean)
        {
            Method = $"percentiles of a fitted {chosen.Words} distribution{(nearBound ? ", near the bound at 0" : "")}",
            Limits = limits,
            SdWithin = SdWithin,
            SdOverall = SdOverall,
            // Six sigma of a skewed or folded distribution says nothing: no Cp or Cpk.
            Pp = i?.Pp,
            Ppk = i?.Ppk,
            PpkInterval = intervals?.Ppk,
            PpkLowerBound = intervals?.LowerBound,
            NormalityA2 = NormalityA2,
            NormalityProbability = NormalityProbability,
            ShapiroWilk = ShapiroWilk,
            Distribution = chosen,
            CountForGoal = intervals is { } shown && i is not null && !(shown.LowerBound >= Goal) ? DeltaIntervals.CountToShow(i.Ppk, shown.StandardError, s.Count, chosen.FreeValues.Length, Goal) : null,
            FractionOutside = i?.FractionOutside,
            FractionOutsideInterval = intervals?.Fraction,
            SeenOutside = SeenOutside,
            InControl = InControl,
            Signals = Signals,
        };
    }

    private ProcessCapability DistributionFree(SampleSummary s, Limits? limits) => new(Count, Mean)
    {
        Method = "distribution-free: no distribution fits, so the count outside is all that is said",
        Limits = limits,
        SdWithin = SdWithin,
        SdOverall = SdOverall,
        NormalityA2 = NormalityA2,
        NormalityProbability = NormalityProbability,
        ShapiroWilk = ShapiroWilk,
        FractionOutside = limits is null ? null : (double)SeenOutside / s.Count,
        FractionOutsideInterval = limits is null ? null : Proportion.Exact(SeenOutside, s.Count),
        SeenOutside = SeenOutside,
        InControl = InControl,
        Signals = Signals,
    };

    private static FittedDistribution? Choose(SampleSummary s, bool cannotBeNegative)
    {
        // A value of exactly 0 has no share of any of these below it, so none can pass.
        DistributionFamily[] families = s.Minimum <= 0 ? []
            : cannotBeNegative ? [DistributionFamily.HalfNormal, DistributionFamily.FoldedNormal, DistributionFamily.Lognormal, DistributionFamily.Weibull, DistributionFamily.Gamma]
            : [DistributionFamily.Lognormal, DistributionFamily.Weibull, DistributionFamily.Gamma];
        return families.Select(f => FittedDistribution.Fit(f, s.Repeated)).OfType<FittedDistribution>().OrderBy(d => d.Aicc(s.Repeated)).FirstOrDefault(d => Passes(d, s));
    }

    private static bool Passes(FittedDistribution d, SampleSummary s)
    {
        double[] scores = s.Repeated.OfDifferent(v => d.LowerTail(v) is double p && p < 0.5 ? NormalDistribution.Quantile(p) : NormalDistribution.UpperQuantile(d.UpperTail(v)));
        return scores.All(double.IsFinite) && Normality.AndersonDarling(new(s.Repeated.Each(scores))) is (_, _, double probability) && probability >= RejectBelow;
    }

    private static (bool? InControl, IReadOnlyList<string> Signals) Control(IReadOnlyList<double> values, IReadOnlyList<string>? names)
    {
        if (values.Count < LeastToTest) return (null, []);
        IndividualsChart chart = new(values);
        if (!(chart.Sigma > 0)) return (values.All(v => v == values[0]) ? true : null, []);
        List<string> signals = [];
        foreach (RunRule rule in ControlRules)
        {
            IReadOnlyList<int> at = rule.Find(values, chart.Centre, chart.Sigma);
            if (at.Count > 0) signals.Add($"{rule.Words} at {string.Join(", ", at.Take(4).Select(i => names?[i - 1] ?? Invariant($"{i}")))}{(at.Count > 4 ? Invariant($" and {at.Count - 4} more") : "")}");
        }
        return (signals.Count == 0, signals);
    }
}
