using System.Text.RegularExpressions;
using GapFlush.Capability;
using GapFlush.GaugeStudy;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Reference.Statistics;

/// <summary>Groups about processes: capability, charts, run lengths, change points, gauge studies, distribution functions.</summary>
internal static partial class ProcessGroups
{
    public static IReadOnlyList<IReferenceGroup> All { get; } =
    [
        new StatisticsGroup("capability", CapabilityOfData),
        new StatisticsGroup("capability_summary", c => Indices(c, new(c.Whole("n"), c.Number("mean"), c.Number("sd"), LimitsOf(c), c.Optional("target")))),
        new StatisticsGroup("percentile_given", c => Percentiles(c, Given(c))),
        new StatisticsGroup("percentile_fitted", Fitted),
        new StatisticsGroup("constants", Constants),
        new StatisticsGroup("d2star", c =>
        {
            c.Put("d2star", ChartConstants.D2Star(c.Whole("m"), c.Whole("g")));
            c.Put("d2", new ChartConstants(c.Whole("m")).D2);
        }),
        new StatisticsGroup("tolerance_factor", Tolerance),
        new StatisticsGroup("imr_chart", Individuals),
        new StatisticsGroup("xbar_chart", Means),
        new StatisticsGroup("ewma_chart", Ewma),
        new StatisticsGroup("cusum_chart", Cusum),
        new StatisticsGroup("run_rules", Runs),
        new StatisticsGroup("arl_cusum", c => c.Put("arl", c.Text("sided") == "one"
            ? RunLengths.OneSidedCusum(c.Number("k"), c.Number("h"), c.Number("mu"), c.Number("hs"))
            : RunLengths.TwoSidedCusum(c.Number("k"), c.Number("h"), c.Number("mu"), c.Number("hs")))),
        new StatisticsGroup("arl_ewma", c => c.Put("arl", RunLengths.Ewma(c.Number("lam"), c.Number("c"), c.Number("mu")))),
        new StatisticsGroup("arl_shewhart", Shewhart),
        new StatisticsGroup("changepoint", Change),
        new StatisticsGroup("gauge_rr", Crossed),
        new StatisticsGroup("gauge_nested", Nested),
        new StatisticsGroup("type1_gauge", ReferencePiece),
        new StatisticsGroup("distribution", Distribution),
    ];

    private static Limits LimitsOf(StatisticsCase c) => new(c.Optional("lsl"), c.Optional("usl"));

    private static void CapabilityOfData(StatisticsCase c)
    {
        double[] values = c.Values;
        SampleSummary s = new(values);
        Limits limits = LimitsOf(c);
        c.Put("n", s.Count);
        c.Put("mean", s.Mean);
        c.Put("sd_overall", s.Sd);
        c.Put("observed_outside", values.Count(v => limits.Excess(v) > 0));
        List<(string Name, double Sigma)> sigmas;
        if (c.Has("subgroup"))
        {
            IReadOnlyList<IReadOnlyList<double>> groups = [.. c.Grouped(c.Text("subgroup"), c.Text("column")).Groups.Where(g => g.Count > 1)];
            SampleSummary[] summaries = [.. groups.Select(g => new SampleSummary([.. g]))];
            c.Put("subgroups", groups.Count);
            c.Put("rbar", summaries.Average(g => g.Range));
            c.Put("sbar", summaries.Average(g => g.Sd));
            (double pooled, int df) = WithinSigma.Pooled(groups);
            sigmas =
            [
                ("rbar_d2", WithinSigma.FromRanges(groups)), ("sbar_c4", WithinSigma.FromSds(groups)), ("rbar_d2_weighted", WithinSigma.FromRangesWeighted(groups)),
                ("sbar_c4_weighted", WithinSigma.FromSdsWeighted(groups)), ("pooled", pooled), ("pooled_c4", pooled / ChartConstants.UnbiasingFactor(df + 1)),
            ];
        }
        else
        {
            double[] ranges = WithinSigma.MovingRanges(values);
            c.Put("mrbar", ranges.Average());
            c.Put("mr_median", Quantiles.Of(ranges, 0.5));
            sigmas = [("mrbar_d2", WithinSigma.FromMovingRanges(values)), ("mrmedian_d4", WithinSigma.FromMedianMovingRange(values)), ("mssd", WithinSigma.FromSuccessiveDifferences(values))];
        }
        foreach ((string name, double sigma) in sigmas)
        {
            c.Put("sigma_" + name, sigma);
            CapabilityIndices within = new(s.Count, s.Mean, sigma, limits);
            c.Put($"cp[{name}]", within.Pp);
            c.Put($"cpu[{name}]", within.Ppu);
            c.Put($"cpl[{name}]", within.Ppl);
            c.Put($"cpk[{name}]", within.Ppk);
        }
        Indices(c, new(s.Count, s.Mean, s.Sd, limits, c.Optional("target")));
    }

    private static void Indices(StatisticsCase c, CapabilityIndices i)
    {
        c.Put("pp", i.Pp);
        c.Put("ppu", i.Ppu);
        c.Put("ppl", i.Ppl);
        c.Put("ppk", i.Ppk);
        c.Put("cpm", i.Cpm);
        c.Put("k_offset", i.OffCentre);
        c.Put("ppm_below", 1e6 * i.FractionBelow);
        c.Put("ppm_above", 1e6 * i.FractionAbove);
        c.Put("ppm_total", 1e6 * i.FractionOutside);
        foreach (string tag in c.Wanted.Select(q => ConfidenceTag().Match(q)).Where(m => m.Success).Select(m => m.Groups["tag"].Value).Distinct())
        {
            double confidence = StatisticsCase.Parse("0." + tag);
            PutInterval("pp_ci" + tag, i.PpInterval(confidence));
            c.Put("pp_lower_bound" + tag, i.PpLowerBound(confidence));
            PutInterval("ppk_bissell" + tag, i.BissellInterval(confidence));
            c.Put("ppk_bissell_lower_bound" + tag, i.BissellLowerBound(confidence));
            PutInterval($"ppu_exact{tag}", i.PpuInterval(confidence));
            c.Put($"ppu_exact_lower_bound{tag}", i.PpuLowerBound(confidence));
            PutInterval($"ppl_exact{tag}", i.PplInterval(confidence));
            c.Put($"ppl_exact_lower_bound{tag}", i.PplLowerBound(confidence));
        }

        void PutInterval(string name, Interval? interval)
        {
            c.Put(name + "_lo", interval?.Low);
            c.Put(name + "_hi", interval?.High);
        }
    }

    private static FittedDistribution Given(StatisticsCase c) => c.Text("dist") switch
    {
        "normal" => FittedDistribution.Normal(c.Number("mu"), c.Number("sigma")),
        "lognormal" => FittedDistribution.Lognormal(c.Number("mu"), c.Number("sigma"), c.Optional("shift") ?? 0),
        "weibull" => FittedDistribution.Weibull(c.Number("shape"), c.Number("scale"), c.Optional("shift") ?? 0),
        "halfnormal" => FittedDistribution.HalfNormal(c.Number("sigma")),
        "foldednormal" => FittedDistribution.FoldedNormal(c.Number("mu"), c.Number("sigma")),
        "rayleigh" => FittedDistribution.Rayleigh(c.Number("sigma")),
        "gamma" => FittedDistribution.Gamma(c.Number("shape"), c.Number("scale")),
        string other => throw new ArgumentException($"no distribution {other}"),
    };

    private static void Fitted(StatisticsCase c)
    {
        double[] values = c.Values;
        DistributionFamily family = Enum.Parse<DistributionFamily>(c.Text("dist"), ignoreCase: true);
        if (FittedDistribution.Fit(family, values) is not FittedDistribution fit) return;
        foreach ((string name, double value) in fit.Parameters) c.Put("mle_" + name, value);
        c.Put("log_likelihood", fit.LogLikelihood(values));
        c.Put("aic", fit.Aic(values));
        c.Put("aicc", fit.Aicc(values));
        Percentiles(c, fit);
    }

    private static void Percentiles(StatisticsCase c, FittedDistribution distribution)
    {
        PercentileIndices i = new(distribution, LimitsOf(c));
        c.Put("x0_135", i.Low);
        c.Put("x50", i.Median);
        c.Put("x99_865", i.High);
        c.Put("pp_percentile", i.Pp);
        c.Put("ppu_percentile", i.Ppu);
        c.Put("ppl_percentile", i.Ppl);
        c.Put("ppk_percentile", i.Ppk);
        c.Put("ppm_above", 1e6 * i.FractionAbove);
        c.Put("ppm_below", 1e6 * i.FractionBelow);
        c.Put("ppu_from_fraction", i.PpuFromFraction);
        c.Put("ppl_from_fraction", i.PplFromFraction);
    }

    private static void Constants(StatisticsCase c)
    {
        ChartConstants k = new(c.Whole("n"));
        c.Put("c4", k.C4);
        c.Put("c5", k.C5);
        c.Put("d2", k.D2);
        c.Put("d3", k.D3);
        c.Put("d4_median_range", k.MedianRange);
        c.Put("A", k.A);
        c.Put("A2", k.A2);
        c.Put("A3", k.A3);
        c.Put("B3", k.B3);
        c.Put("B4", k.B4);
        c.Put("B5", k.B5);
        c.Put("B6", k.B6);
        c.Put("D1", k.LowerRangeFromSigma);
        c.Put("D2", k.UpperRangeFromSigma);
        c.Put("D3", k.LowerRangeFromMean);
        c.Put("D4", k.UpperRangeFromMean);
        c.Put("E2", k.E2);
        c.Put("E3", k.E3);
    }

    private static void Tolerance(StatisticsCase c)
    {
        (int n, double p, double confidence) = (c.Whole("n"), c.Number("p"), c.Number("conf"));
        c.Put("k_one_sided", ToleranceFactors.OneSided(n, p, confidence));
        c.Put("k_two_sided_exact", ToleranceFactors.TwoSided(n, p, confidence));
        c.Put("k_one_sided_normal_approx", ToleranceFactors.OneSidedApproximate(n, p, confidence));
        c.Put("k_two_sided_howe", ToleranceFactors.TwoSidedApproximate(n, p, confidence));
    }

    private static void Individuals(StatisticsCase c)
    {
        double[] values = c.Values;
        IndividualsChart chart = new(values), printed = new(values, printedD2: 1.128, printedRangeFactor: 3.267);
        c.Put("mean", chart.Centre);
        c.Put("mrbar", chart.MeanMovingRange);
        c.Put("sigma", chart.Sigma);
        c.Put("x_ucl", chart.Upper);
        c.Put("x_lcl", chart.Lower);
        c.Put("mr_ucl", chart.RangeUpper);
        c.Put("mr_lcl", 0.0);
        c.Put("x_ucl_table_d2_1.128", printed.Upper);
        c.Put("x_lcl_table_d2_1.128", printed.Lower);
        c.Put("mr_ucl_table_D4_3.267", printed.RangeUpper);
        c.Put("x_out", chart.Outside);
        c.Put("mr_out", chart.RangesOutside);
    }

    private static void Means(StatisticsCase c)
    {
        SubgroupChart chart = new(c.Grouped(c.Text("subgroup"), c.Text("column")).Groups);
        c.Put("grand_mean", chart.GrandMean);
        c.Put("rbar", chart.MeanRange);
        c.Put("sbar", chart.MeanSd);
        c.Put("xbar_ucl_r", chart.MeanLimitsFromRange.Upper);
        c.Put("xbar_lcl_r", chart.MeanLimitsFromRange.Lower);
        c.Put("r_ucl", chart.RangeLimits.Upper);
        c.Put("r_lcl", chart.RangeLimits.Lower);
        c.Put("xbar_ucl_s", chart.MeanLimitsFromSd.Upper);
        c.Put("xbar_lcl_s", chart.MeanLimitsFromSd.Lower);
        c.Put("s_ucl", chart.SdLimits.Upper);
        c.Put("s_lcl", chart.SdLimits.Lower);
        c.Put("xbar_out_r", chart.MeansOutside);
        c.Put("r_out", chart.RangesOutside);
    }

    private static void Ewma(StatisticsCase c)
    {
        EwmaChart chart = new(c.Values, c.Number("target"), c.Number("sigma"), c.Number("lam"), c.Number("L"));
        c.Put("ucl_asymptotic", chart.Upper);
        c.Put("lcl_asymptotic", chart.Lower);
        for (int i = 1; i <= chart.Averages.Count; i++)
        {
            c.Put($"ewma[{i}]", chart.Averages[i - 1]);
            c.Put($"ucl[{i}]", chart.LimitsAt(i).Upper);
            c.Put($"lcl[{i}]", chart.LimitsAt(i).Lower);
        }
        c.Put("signals_asymptotic", chart.SignalsLongRun);
        c.Put("signals_time_varying", chart.SignalsTimeVarying);
    }

    private static void Cusum(StatisticsCase c)
    {
        CusumChart chart = new(c.Values, c.Number("target"), c.Number("sigma"), c.Number("k"), c.Number("h"), c.Number("start"));
        for (int i = 1; i <= chart.Upper.Count; i++)
        {
            c.Put($"c_plus[{i}]", chart.Upper[i - 1]);
            c.Put($"c_minus[{i}]", chart.Lower[i - 1]);
        }
        c.Put("signals_plus", chart.SignalsUpper);
        c.Put("signals_minus", chart.SignalsLower);
    }

    private static void Runs(StatisticsCase c)
    {
        foreach (string quantity in c.Wanted)
        {
            RunRule? rule = quantity switch
            {
                "rule1_beyond_3sigma" => RunRule.BeyondThreeSigma,
                "rule3_six_steadily_rising_or_falling" => RunRule.SixRisingOrFalling,
                "rule4_fourteen_alternating" => RunRule.FourteenAlternating,
                "rule5_two_of_three_beyond_2sigma_point_included" => RunRule.TwoOfThreeBeyondTwoSigma(),
                "rule5_two_of_three_beyond_2sigma_any" => RunRule.TwoOfThreeBeyondTwoSigma(pointItself: false),
                "rule6_four_of_five_beyond_1sigma_point_included" => RunRule.FourOfFiveBeyondOneSigma(),
                "rule6_four_of_five_beyond_1sigma_any" => RunRule.FourOfFiveBeyondOneSigma(pointItself: false),
                "rule7_fifteen_within_1sigma" => RunRule.FifteenWithinOneSigma,
                "rule8_eight_outside_1sigma" => RunRule.EightOutsideOneSigma,
                _ when SameSideTag().Match(quantity) is { Success: true } match => RunRule.SameSide(int.Parse(match.Groups["count"].Value, System.Globalization.CultureInfo.InvariantCulture)),
                _ => null,
            };
            if (rule is not null) c.Put(quantity, rule.Find(c.Values, c.Number("centre"), c.Number("sigma")));
        }
    }

    private static void Shewhart(StatisticsCase c)
    {
        string[] rules = c.Text("rules").Split('+');
        string? run = rules.FirstOrDefault(r => r.EndsWith("run", StringComparison.Ordinal));
        if (rules.Any(r => r is not ("1" or "5" or "6") && r != run)) return;
        c.Put("arl0", RunLengths.ThreeSigma(rules.Contains("5"), rules.Contains("6"), run is null ? 0 : int.Parse(run[..^3], System.Globalization.CultureInfo.InvariantCulture)));
    }

    private static void Change(StatisticsCase c)
    {
        if (ChangePoint.Find(c.Values) is not ChangePoint p) return;
        c.Put("last_index_before_change", p.LastBefore);
        c.Put("mean_before", p.MeanBefore);
        c.Put("mean_after", p.MeanAfter);
        c.Put("max_abs_t", p.LargestT);
        c.Put("likelihood_ratio_2logL", p.LikelihoodRatio);
        c.Put("cusum_argmax_index", p.CusumFarthest);
        c.Put("cusum_max_abs", p.CusumDistance);
        c.Put("cusum_max_abs_standardised", p.CusumStandardised);
        c.Put("cusum_range", p.CusumRange);
        c.Put("pettitt_K", p.PettittK);
        c.Put("pettitt_last_index_before", p.PettittLastBefore);
        c.Put("pettitt_p_approx", p.PettittProbability);
    }

    private static void Crossed(StatisticsCase c)
    {
        CrossedStudy? s = CrossedStudy.Of([.. c.Rows.Select(r => (r["part"], r["operator"], StatisticsCase.Parse(r["value_mm"])))], out _);
        if (s is null) return;
        foreach ((string name, VarianceRow row) in new[] { ("part", s.Part), ("operator", s.Operator), ("interaction", s.Interaction), ("repeatability", s.Repeatability) })
        {
            c.Put("ss_" + name, row.SumOfSquares);
            c.Put("df_" + name, row.DegreesOfFreedom);
            c.Put("ms_" + name, row.MeanSquare);
        }
        foreach ((string name, TestResult test) in new[] { ("part", s.PartTest), ("operator", s.OperatorTest), ("interaction", s.InteractionTest) })
        {
            c.Put("F_" + name, test.Statistic);
            c.Put("p_" + name, test.Probability);
        }
        c.Put("with_interaction_raw_variance_repeatability", s.RawComponents.Repeatability);
        c.Put("with_interaction_raw_variance_interaction", s.RawComponents.Interaction);
        c.Put("with_interaction_raw_variance_operator", s.RawComponents.Operator);
        c.Put("with_interaction_raw_variance_part", s.RawComponents.Part);
        c.Put("pooled_ms_error", s.Pooled.MeanSquare);
        c.Put("pooled_df_error", s.Pooled.DegreesOfFreedom);
        c.Put("pooled_F_part", s.PooledPartTest.Statistic);
        c.Put("pooled_p_part", s.PooledPartTest.Probability);
        c.Put("pooled_F_operator", s.PooledOperatorTest.Statistic);
        c.Put("pooled_p_operator", s.PooledOperatorTest.Probability);
        foreach ((string tag, GaugeComponents g) in new[] { ("with_interaction", s.WithInteraction), ("pooled", s.WithoutInteraction) })
        {
            foreach ((string name, double variance) in new[]
            {
                ("repeatability", g.Repeatability), ("interaction", g.Interaction), ("operator", g.Operator), ("part", g.Part), ("reproducibility", g.Reproducibility), ("grr", g.Measuring), ("total", g.Total),
            })
            {
                c.Put($"{tag}_variance_{name}", variance);
                c.Put($"{tag}_pct_contribution_{name}", g.PercentContribution(variance));
                c.Put($"{tag}_pct_study_{name}", g.PercentStudy(variance));
                if (c.Has("tolerance")) c.Put($"{tag}_pct_tolerance_6s_{name}", GaugeComponents.PercentTolerance(variance, c.Number("tolerance")));
            }
            c.Put(tag + "_ndc_raw", g.CategoriesUnrounded);
            c.Put(tag + "_ndc", g.Categories);
        }
        c.Put("rbar_bar", s.MeanRange);
        c.Put("xbar_diff", s.OperatorRange);
        c.Put("part_range", s.PartRange);
        foreach ((string tag, AverageRange? a) in new[] { ("avg_range_exact", s.AverageRange()), ("avg_range_table", s.AverageRangeAsPrinted()) })
        {
            if (a is null) continue;
            foreach ((string name, double sd) in new[] { ("EV", a.Equipment), ("AV", a.Appraiser), ("GRR", a.Measuring), ("PV", a.Part), ("TV", a.Total) })
            {
                c.Put($"{tag}_{name}", sd);
                c.Put($"{tag}_pct_{name}", a.PercentOfTotal(sd));
            }
            c.Put(tag + "_ndc_raw", a.CategoriesUnrounded);
        }
    }

    private static void Nested(StatisticsCase c)
    {
        NestedStudy s = NestedStudy.Of([.. c.Rows.Select(r => (r["item"], r["run"], StatisticsCase.Parse(r["average"]), StatisticsCase.Parse(r["sd"])))], c.Whole("n_within"));
        foreach ((int level, PooledSpread spread) in new[] { (1, s.WithinOccasion), (2, s.BetweenOccasions), (3, s.BetweenRuns) })
        {
            c.Put($"level{level}_sd", spread.Sd);
            c.Put($"level{level}_df", spread.DegreesOfFreedom);
        }
    }

    private static void ReferencePiece(StatisticsCase c)
    {
        ReferenceStudy s = new(c.Column("value_mm"), c.Number("reference"), c.Number("tolerance"));
        c.Put("mean", s.Readings.Mean);
        c.Put("sd", s.Readings.Sd);
        c.Put("bias", s.Bias);
        c.Put("bias_t", s.BiasT);
        c.Put("bias_p_two_sided", s.BiasProbability);
        c.Put("pct_repeatability_6s", s.PercentRepeatability);
        foreach (string quantity in c.Wanted)
        {
            if (GaugeTag().Match(quantity) is not { Success: true } match) continue;
            (double share, double width) = (StatisticsCase.Parse(match.Groups["share"].Value) / 100, StatisticsCase.Parse(match.Groups["width"].Value));
            c.Put(quantity, match.Groups["index"].Value == "cg" ? s.Cg(share, width) : s.Cgk(share, width));
        }
    }

    private static void Distribution(StatisticsCase c)
    {
        double[] a = [.. c.Text("args").Split(';').Select(StatisticsCase.Parse)];
        string name = c.Text("fun");
        double? value = name switch
        {
            "norm_cdf" => NormalDistribution.Cdf(a[0]),
            "norm_sf" => NormalDistribution.UpperTail(a[0]),
            "norm_ppf" => NormalDistribution.Quantile(a[0]),
            "t_cdf" => StudentDistribution.Cdf(a[0], a[1]),
            "t_sf" => StudentDistribution.UpperTail(a[0], a[1]),
            "t_ppf" => StudentDistribution.Quantile(a[0], a[1]),
            "chi2_cdf" => ChiSquareDistribution.Cdf(a[0], a[1]),
            "chi2_sf" => ChiSquareDistribution.UpperTail(a[0], a[1]),
            "chi2_ppf" => ChiSquareDistribution.Quantile(a[0], a[1]),
            "f_cdf" => FisherDistribution.Cdf(a[0], a[1], a[2]),
            "f_sf" => FisherDistribution.UpperTail(a[0], a[1], a[2]),
            "f_ppf" => FisherDistribution.Quantile(a[0], a[1], a[2]),
            "nct_cdf" => NoncentralTDistribution.Cdf(a[0], a[1], a[2]),
            "nct_sf" => NoncentralTDistribution.UpperTail(a[0], a[1], a[2]),
            "nct_ppf" => NoncentralTDistribution.Quantile(a[0], a[1], a[2]),
            "srange_cdf" => StudentizedRangeDistribution.Cdf(a[0], (int)a[1], a[2]),
            "srange_sf" => StudentizedRangeDistribution.UpperTail(a[0], (int)a[1], a[2]),
            "srange_ppf" => StudentizedRangeDistribution.Quantile(a[0], (int)a[1], a[2]),
            _ => null,
        };
        c.Put(name, value);
    }

    [GeneratedRegex(@"(?:ci|bissell|bound|exact)(?<tag>\d+)(?:_lo|_hi)?$")]
    private static partial Regex ConfidenceTag();

    [GeneratedRegex(@"^rule2_same_side_run_(?<count>\d+)$")]
    private static partial Regex SameSideTag();

    [GeneratedRegex(@"^(?<index>cgk?)_K(?<share>\d+)_L(?<width>\d+)$")]
    private static partial Regex GaugeTag();
}
