using System.Text.RegularExpressions;
using GapFlush.Statistics;

namespace GapFlush.Reference.Statistics;

/// <summary>Groups about samples: summaries, analysis of variance, regression, comparisons.</summary>
internal static partial class SampleGroups
{
    public static IReadOnlyList<IReferenceGroup> All { get; } =
    [
        new StatisticsGroup("strd_univariate", Univariate),
        new StatisticsGroup("strd_anova", Anova),
        new StatisticsGroup("linear_regression", Regression),
        new StatisticsGroup("descriptive", Descriptive),
        new StatisticsGroup("quantile_types", QuantileTypes),
        new StatisticsGroup("normality", NormalityTests),
        new StatisticsGroup("box_cox", Powers),
        new StatisticsGroup("two_sample", TwoSample),
        new StatisticsGroup("paired", Paired),
        new StatisticsGroup("k_sample", KSample),
        new StatisticsGroup("multiple_testing", Adjusted),
        new StatisticsGroup("hotelling", HotellingT),
        new StatisticsGroup("variance_components", Components),
        new StatisticsGroup("variance_components_nested", NestedComponents),
        new StatisticsGroup("trend", Trend),
    ];

    private static void Univariate(StatisticsCase c)
    {
        SampleSummary s = new(c.Column("y"));
        c.Put("n", s.Count);
        c.Put("mean", s.Mean);
        c.Put("sd", s.Sd);
        c.Put("lag1_autocorrelation", s.Lag1);
    }

    private static void Anova(StatisticsCase c)
    {
        OneWayAnova a = OneWayAnova.Of(c.Grouped("group", "y").Groups);
        c.Put("df_between", a.BetweenDegreesOfFreedom);
        c.Put("df_within", a.WithinDegreesOfFreedom);
        c.Put("ss_between", a.BetweenSumOfSquares);
        c.Put("ss_within", a.WithinSumOfSquares);
        c.Put("ms_between", a.BetweenMeanSquare);
        c.Put("ms_within", a.WithinMeanSquare);
        c.Put("F", a.F);
        c.Put("r_squared", a.RSquared);
        c.Put("residual_sd", a.ResidualSd);
        c.Put("p_value", a.Probability);
    }

    private static void Regression(StatisticsCase c)
    {
        string model = c.Text("model");
        double[] y = c.Column("y");
        double[][] x = [.. c.Rows[0].Keys.Where(k => k != "y").Select(c.Column)];
        double[] ones = [.. y.Select(_ => 1.0)];
        LeastSquares? fit = model == "noint" ? LeastSquares.Fit([x[0]], y, intercept: false)
            : model.StartsWith("poly", StringComparison.Ordinal) ? LeastSquares.Polynomial(x[0], y, int.Parse(model[4..], System.Globalization.CultureInfo.InvariantCulture))
            : LeastSquares.Fit([ones, .. x], y, intercept: true);
        if (fit is null) return;
        for (int i = 0; i < fit.Coefficients.Count; i++)
        {
            int number = model == "noint" ? i + 1 : i;
            c.Put($"coef_B{number}", fit.Coefficients[i]);
            c.Put($"se_B{number}", fit.StandardError(i));
            Interval interval = fit.CoefficientInterval(i);
            c.Put($"ci95_lo_B{number}", interval.Low);
            c.Put($"ci95_hi_B{number}", interval.High);
        }
        c.Put("residual_sd", fit.ResidualSd);
        c.Put("r_squared", fit.RSquared);
        c.Put("df_regression", fit.RegressionDegreesOfFreedom);
        c.Put("df_residual", fit.ResidualDegreesOfFreedom);
        c.Put("ss_regression", fit.RegressionSumOfSquares);
        c.Put("ss_residual", fit.ResidualSumOfSquares);
        c.Put("ms_regression", fit.RegressionSumOfSquares / fit.RegressionDegreesOfFreedom);
        c.Put("ms_residual", fit.ResidualVariance);
        c.Put("F", fit.F);
        c.Put("p_value_F", fit.FProbability);
    }

    private static void Descriptive(StatisticsCase c)
    {
        SampleSummary s = new(c.Values);
        c.Put("n", s.Count);
        c.Put("mean", s.Mean);
        c.Put("variance", s.Variance);
        c.Put("sd", s.Sd);
        c.Put("sd_population", s.PopulationSd);
        c.Put("se_mean", s.MeanStandardError);
        c.Put("min", s.Minimum);
        c.Put("max", s.Maximum);
        c.Put("range", s.Range);
        c.Put("median", s.Median);
        c.Put("skewness_g1", s.Skewness);
        c.Put("excess_kurtosis_g2", s.ExcessKurtosis);
        c.Put("skewness_G1", s.CorrectedSkewness);
        c.Put("excess_kurtosis_G2", s.CorrectedExcessKurtosis);
        (Interval mean, Interval sd) = (s.MeanInterval(), s.SdInterval());
        c.Put("mean_ci95_lo", mean.Low);
        c.Put("mean_ci95_hi", mean.High);
        c.Put("sd_ci95_lo", sd.Low);
        c.Put("sd_ci95_hi", sd.High);
        c.Put("lag1_autocorrelation", s.Lag1);
        c.Put("mad_raw", s.MedianAbsoluteDeviation);
    }

    private static void QuantileTypes(StatisticsCase c)
    {
        double[] values = c.Values;
        for (int type = 1; type <= 9; type++) c.Put($"type{type}", Quantiles.Of(values, c.Number("p"), type));
    }

    private static void NormalityTests(StatisticsCase c)
    {
        SampleSummary s = new(c.Values);
        if (Normality.AndersonDarling(s) is (double a2, double corrected, double p))
        {
            c.Put("anderson_darling_A2", a2);
            c.Put("anderson_darling_A2_star", corrected);
            c.Put("anderson_darling_p", p);
        }
        if (Normality.ShapiroWilk(s) is TestResult w)
        {
            c.Put("shapiro_wilk_W", w.Statistic);
            c.Put("shapiro_wilk_p", w.Probability);
        }
    }

    private static void Powers(StatisticsCase c)
    {
        if (BoxCox.Fit(c.Values) is not BoxCox fit) return;
        c.Put("lambda_mle", fit.Lambda);
        c.Put("profile_loglik_max", fit.LogLikelihood(fit.Lambda));
        c.Put("lambda_ci95_lo", fit.Interval95.Low);
        c.Put("lambda_ci95_hi", fit.Interval95.High);
        foreach (string quantity in c.Wanted)
        {
            if (AtPower().Match(quantity) is not { Success: true } match) continue;
            double lambda = StatisticsCase.Parse(match.Groups["power"].Value);
            c.Put(quantity, quantity.StartsWith("lr_", StringComparison.Ordinal) ? fit.Probability(lambda) : fit.LogLikelihood(lambda));
        }
    }

    private static void TwoSample(StatisticsCase c)
    {
        IReadOnlyList<IReadOnlyList<double>> groups = c.Grouped(c.Text("group"), c.Text("column")).Groups;
        TwoSampleComparison t = new(groups[0], groups[1]);
        c.Put("mean_difference_A_minus_B", t.Difference);
        c.Put("welch_t", t.WelchT);
        c.Put("welch_df", t.WelchDegreesOfFreedom);
        c.Put("welch_p_two_sided", t.WelchProbability);
        c.Put("welch_ci95_lo", t.WelchInterval().Low);
        c.Put("welch_ci95_hi", t.WelchInterval().High);
        c.Put("pooled_t", t.PooledT);
        c.Put("pooled_df", t.PooledDegreesOfFreedom);
        c.Put("pooled_p_two_sided", t.PooledProbability);
        c.Put("cohen_d", t.StandardisedDifference);
        c.Put("variance_ratio_F", t.VarianceRatio);
        c.Put("variance_ratio_p_two_sided", t.VarianceRatioProbability);
        (double u, double p) = t.MannWhitney();
        c.Put("mann_whitney_U_A", u);
        c.Put("mann_whitney_p_two_sided_cc", p);
        if (!c.Has("tost_margin")) return;
        Equivalence welch = t.WelchEquivalence(c.Number("tost_margin")), pooled = t.PooledEquivalence(c.Number("tost_margin"));
        c.Put("tost_welch_p_lower", welch.LowerProbability);
        c.Put("tost_welch_p_upper", welch.UpperProbability);
        c.Put("tost_welch_p", welch.Probability);
        c.Put("tost_welch_ci90_lo", welch.Interval90.Low);
        c.Put("tost_welch_ci90_hi", welch.Interval90.High);
        c.Put("tost_pooled_p_lower", pooled.LowerProbability);
        c.Put("tost_pooled_p_upper", pooled.UpperProbability);
        c.Put("tost_pooled_p", pooled.Probability);
    }

    private static void Paired(StatisticsCase c)
    {
        PairedComparison p = new(c.Column("before_mm"), c.Column("after_mm"));
        c.Put("mean_difference", p.Differences.Mean);
        c.Put("sd_difference", p.Differences.Sd);
        c.Put("t", p.T);
        c.Put("df", p.DegreesOfFreedom);
        c.Put("p_two_sided", p.Probability);
        Interval interval = p.Differences.MeanInterval();
        c.Put("ci95_lo", interval.Low);
        c.Put("ci95_hi", interval.High);
        if (!c.Has("tost_margin")) return;
        Equivalence e = p.Equivalence(c.Number("tost_margin"));
        c.Put("tost_p_lower", e.LowerProbability);
        c.Put("tost_p_upper", e.UpperProbability);
        c.Put("tost_p", e.Probability);
    }

    private static void KSample(StatisticsCase c)
    {
        (IReadOnlyList<string> names, IReadOnlyList<IReadOnlyList<double>> groups) = c.Grouped(c.Text("group"), c.Text("column"));
        SeveralSamples s = new(groups);
        c.Put("anova_ss_between", s.Anova.BetweenSumOfSquares);
        c.Put("anova_ss_within", s.Anova.WithinSumOfSquares);
        c.Put("anova_F", s.Anova.F);
        c.Put("anova_p", s.Anova.Probability);
        TestResult levene = s.Levene(), brown = s.BrownForsythe(), bartlett = s.Bartlett();
        c.Put("levene_mean_W", levene.Statistic);
        c.Put("levene_mean_p", levene.Probability);
        c.Put("brown_forsythe_median_W", brown.Statistic);
        c.Put("brown_forsythe_median_p", brown.Probability);
        (double uncorrected, TestResult kruskal) = s.KruskalWallis();
        c.Put("kruskal_wallis_H_uncorrected", uncorrected);
        c.Put("kruskal_wallis_H", kruskal.Statistic);
        c.Put("kruskal_wallis_p", kruskal.Probability);
        c.Put("bartlett_T", bartlett.Statistic);
        c.Put("bartlett_p", bartlett.Probability);
        (double f, double df, double p) = s.Welch();
        c.Put("welch_anova_F", f);
        c.Put("welch_anova_df2", df);
        c.Put("welch_anova_p", p);
        if (!c.Wanted.Any(q => q.StartsWith("tukey_", StringComparison.Ordinal))) return;
        foreach (PairOfMeans pair in s.AllPairs())
        {
            string tag = $"[{names[pair.Second]}-{names[pair.First]}]";
            c.Put("tukey_diff" + tag, pair.Difference);
            c.Put("tukey_q" + tag, pair.StudentizedRange);
            c.Put("tukey_p" + tag, pair.Probability);
            c.Put("tukey_ci95_lo" + tag, pair.Interval.Low);
            c.Put("tukey_ci95_hi" + tag, pair.Interval.High);
        }
    }

    private static void Adjusted(StatisticsCase c)
    {
        double[] p = c.Column("p");
        foreach ((string name, double[] adjusted) in new[] { ("bh", MultipleTesting.BenjaminiHochberg(p)), ("holm", MultipleTesting.Holm(p)), ("hochberg", MultipleTesting.Hochberg(p)), ("bonferroni", MultipleTesting.Bonferroni(p)) })
        {
            for (int i = 0; i < p.Length; i++) c.Put($"{name}[{i + 1}]", adjusted[i]);
        }
    }

    private static void HotellingT(StatisticsCase c)
    {
        string group = c.Text("group");
        string[] measures = [.. c.Rows[0].Keys.Where(k => k != group)];
        double[][][] groups = [.. c.Rows.GroupBy(r => r[group]).Select(g => g.Select(r => measures.Select(m => StatisticsCase.Parse(r[m])).ToArray()).ToArray())];
        string first = c.Rows[0][group];
        if (groups.Length == 2 && Hotelling.Between(groups[0], groups[1]) is Hotelling two)
        {
            c.Put("two_sample_T2", two.TSquared);
            c.Put("two_sample_F", two.F);
            c.Put("two_sample_df1", two.NumeratorDegreesOfFreedom);
            c.Put("two_sample_df2", two.DenominatorDegreesOfFreedom);
            c.Put("two_sample_p", two.Probability);
        }
        // The quantities of the first group carry its name; an "A" stands for it whatever it is called.
        foreach (string tag in new[] { first, "A" }.Distinct())
        {
            if (c.Has("mu0") && Hotelling.Against(groups[0], [.. c.Text("mu0").Split(';').Select(StatisticsCase.Parse)]) is Hotelling one)
            {
                c.Put($"one_sample_{tag}_T2", one.TSquared);
                c.Put($"one_sample_{tag}_F", one.F);
                c.Put($"one_sample_{tag}_p", one.Probability);
            }
            IReadOnlyList<double> distances = Hotelling.MahalanobisSquared(groups[0]) ?? [];
            for (int i = 0; i < distances.Count; i++) c.Put($"mahalanobis2_{tag}[{i + 1}]", distances[i]);
        }
    }

    private static void Components(StatisticsCase c)
    {
        VarianceComponents v = new(c.Grouped(c.Text("group"), c.Text("column")).Groups);
        foreach ((string tag, LikelihoodComponents f) in new[] { ("reml", v.Restricted()), ("ml", v.MaximumLikelihood()) })
        {
            c.Put(tag + "_variance_within", f.Within);
            c.Put(tag + "_variance_between", f.Between);
            c.Put(tag + "_sd_within", Math.Sqrt(f.Within));
            c.Put(tag + "_sd_between", Math.Sqrt(f.Between));
            c.Put(tag + "_mean", f.Mean);
            c.Put(tag + "_mean_se", f.MeanStandardError);
            c.Put(tag + "_deviance", f.Deviance);
            c.Put(tag + "_icc", f.IntraclassCorrelation);
        }
        c.Put("anova_n0", v.EffectiveSize);
        c.Put("anova_ms_between", v.Anova.BetweenMeanSquare);
        c.Put("anova_ms_within", v.Anova.WithinMeanSquare);
        c.Put("anova_variance_between_raw", v.BetweenFromMeanSquares);
        c.Put("anova_F", v.Anova.F);
        c.Put("anova_p", v.Anova.Probability);
    }

    private static void NestedComponents(StatisticsCase c)
    {
        NestedVarianceComponents? v = NestedVarianceComponents.Fit([.. c.Rows.Select(r => (r[c.Text("group")], r[c.Text("nested")], StatisticsCase.Parse(r[c.Text("column")])))]);
        if (v is null) return;
        c.Put("reml_variance_group", v.Group);
        c.Put("reml_variance_nested", v.Nested);
        c.Put("reml_variance_within", v.Within);
        c.Put("reml_deviance", v.Deviance);
        c.Put("reml_mean", v.Mean);
        c.Put("reml_mean_se", v.MeanStandardError);
    }

    private static void Trend(StatisticsCase c)
    {
        double[] x = c.Column(c.Text("x")), y = c.Column(c.Text("y"));
        c.Put("von_neumann_ratio", MonotoneTrend.VonNeumannRatio(new(y)));
        if (LeastSquares.Line(x, y) is LeastSquares line)
        {
            c.Put("slope", line.Coefficients[1]);
            c.Put("intercept", line.Coefficients[0]);
            c.Put("slope_se", line.StandardError(1));
            c.Put("intercept_se", line.StandardError(0));
            c.Put("residual_sd", line.ResidualSd);
            c.Put("r_squared", line.RSquared);
            c.Put("slope_t", line.Coefficients[1] / line.StandardError(1));
            c.Put("slope_p", line.CoefficientProbability(1));
            c.Put("slope_ci95_lo", line.CoefficientInterval(1).Low);
            c.Put("slope_ci95_hi", line.CoefficientInterval(1).High);
            if (c.Has("x0"))
            {
                double x0 = c.Number("x0");
                (Interval mean, Interval next) = (line.MeanIntervalAt(0.95, 1, x0), line.PredictionIntervalAt(0.95, 1, x0));
                c.Put("fit_at_x0", line.At(1, x0));
                c.Put("mean_ci95_lo_at_x0", mean.Low);
                c.Put("mean_ci95_hi_at_x0", mean.High);
                c.Put("prediction_lo_at_x0", next.Low);
                c.Put("prediction_hi_at_x0", next.High);
            }
        }
        if (MonotoneTrend.Of(x, y) is not MonotoneTrend t) return;
        c.Put("mann_kendall_S", t.S);
        c.Put("mann_kendall_var_S", t.VarianceOfS);
        c.Put("mann_kendall_z", t.Z);
        c.Put("mann_kendall_p_two_sided", t.Probability);
        c.Put("kendall_tau_b", t.TauB);
        c.Put("theil_sen_slope", t.Slope);
        c.Put("theil_sen_intercept_median_xy", t.InterceptOfMedians);
        c.Put("theil_sen_intercept_median_residual", t.InterceptOfResiduals);
        c.Put("theil_sen_ci95_lo", t.SlopeInterval.Low);
        c.Put("theil_sen_ci95_hi", t.SlopeInterval.High);
    }

    [GeneratedRegex(@"^(?:profile_loglik_lambda|lr_p_lambda)(?<power>-?[\d.]+)$")]
    private static partial Regex AtPower();
}
