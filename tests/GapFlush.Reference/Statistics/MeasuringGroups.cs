using System.Globalization;
using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Reference.Statistics;

/// <summary>Groups about one measurement: its uncertainty budget, and its value against limits.</summary>
internal static class MeasuringGroups
{
    public static IReadOnlyList<IReferenceGroup> All { get; } =
    [
        new StatisticsGroup("uncertainty", Budget),
        new StatisticsGroup("decision_rule", Decision),
    ];

    private static void Decision(StatisticsCase c)
    {
        (double expanded, double k) = (c.Number("U"), c.Number("k"));
        Limits limits = new(c.Optional("lsl"), c.Optional("usl"));
        Conformity judged = Conformity.Judge(c.Number("y"), expanded, k, limits, DecisionRule.ProveConformity);
        c.Put("zone", judged.Verdict switch { Verdict.Within => "conformity", Verdict.Outside => "nonconformity", _ => "uncertainty" });
        c.Put("conformance_probability", judged.ConformanceProbability);
        if (judged.ConformanceProbability is double probability) c.Put("accepted_by_95pct_probability", probability >= 0.95 ? "true" : "false");
        Zone("", Conformity.AcceptanceZone(limits, expanded));
        Zone("_95pct_one_sided", Conformity.AcceptanceZone(limits, Conformity.GuardBand(expanded / k, 0.95)));

        void Zone(string suffix, (double? Lower, double? Upper) zone)
        {
            c.Put("acceptance_lower" + suffix, zone.Lower);
            c.Put("acceptance_upper" + suffix, zone.Upper);
        }
    }

    // A sensitivity in the data file is a number or a product of input names such as -ls*theta; a name may stand for several inputs added up
    // (theta = theta_mean + theta_cyclic). An input whose sensitivity is written 0 takes no part in the first-order sum.
    private static void Budget(StatisticsCase c)
    {
        double coverage = c.Number("coverage");
        Input[] inputs = [.. c.Rows.Select(r => new Input(r["input"], r.NumberOrNull("estimate") ?? 0, r.Number("standard_uncertainty"),
            r["dof"] is "inf" or "" ? double.PositiveInfinity : r.Number("dof"), r["sensitivity"]))];
        List<UncertaintyComponent> components = [], secondOrder = [];
        foreach (Input input in inputs)
        {
            (double sign, Input[] factors) = Factors(input.Sensitivity, inputs);
            double sensitivity = factors.Aggregate(sign, (product, f) => product * f.Estimate);
            if (sensitivity == 0 && factors.Length == 0) continue;
            components.Add(UncertaintyComponent.Of(input.Name, sensitivity, input.Uncertainty, input.DegreesOfFreedom));
            foreach (Input factor in factors)
            {
                double others = factors.Where(f => f != factor).Aggregate(sign, (product, f) => product * f.Estimate);
                secondOrder.Add(UncertaintyComponent.OfProduct($"{input.Name} and {factor.Name}", others, input.Uncertainty, factor.Uncertainty));
            }
        }
        UncertaintyBudget budget = new(components);
        foreach (UncertaintyComponent component in components)
        {
            c.Put("component_" + component.Source, component.StandardUncertainty);
            c.Put("variance_share_pct_" + component.Source, 100 * budget.VarianceShare(component));
        }
        double u = budget.StandardUncertainty, truncated = budget.TruncatedDegreesOfFreedom;
        c.Put("combined_standard_uncertainty", u);
        c.Put("effective_dof", budget.EffectiveDegreesOfFreedom);
        c.Put("effective_dof_truncated", truncated);
        c.Put("coverage_factor_t_truncated_dof", UncertaintyBudget.TFactor(coverage, truncated));
        c.Put("expanded_uncertainty_t_truncated_dof", u * UncertaintyBudget.TFactor(coverage, truncated));
        c.Put("coverage_factor_t_fractional_dof", UncertaintyBudget.TFactor(coverage, budget.EffectiveDegreesOfFreedom));
        c.Put("expanded_uncertainty_k2", 2 * u);
        c.Put("u_second_order_nm", new UncertaintyBudget([.. components, .. secondOrder]).StandardUncertainty);
        // Parts of a budget that belong to one quantity are named after it: d_repeat, d_random, d_systematic.
        foreach (IGrouping<string, Input> part in inputs.Where(i => i.Name.Contains('_', StringComparison.Ordinal)).GroupBy(i => i.Name[..i.Name.IndexOf('_', StringComparison.Ordinal)]))
        {
            UncertaintyBudget of = Together(part);
            c.Put($"u_{part.Key}_nm", of.StandardUncertainty);
            c.Put($"u_{part.Key}_degC", of.StandardUncertainty);
            c.Put($"dof_{part.Key}", of.EffectiveDegreesOfFreedom);
        }
    }

    private static (double Sign, Input[] Factors) Factors(string sensitivity, Input[] inputs)
    {
        if (double.TryParse(sensitivity, NumberStyles.Float, CultureInfo.InvariantCulture, out double number)) return (number, []);
        return (sensitivity.StartsWith('-') ? -1 : 1, [.. sensitivity.TrimStart('-').Split('*').Select(Named)]);

        Input Named(string name)
        {
            Input[] exact = [.. inputs.Where(i => i.Name == name || i.Name.Replace("_", "", StringComparison.Ordinal) == name)];
            Input[] parts = exact.Length > 0 ? exact : [.. inputs.Where(i => i.Name.StartsWith(name + "_", StringComparison.Ordinal))];
            if (parts.Length == 0) throw new FormatException($"sensitivity '{sensitivity}': no input is called {name}");
            return new(name, parts.Sum(i => i.Estimate), Together(parts).StandardUncertainty, double.PositiveInfinity, "1");
        }
    }

    private static UncertaintyBudget Together(IEnumerable<Input> inputs) => new([.. inputs.Select(i => new UncertaintyComponent(i.Name, i.Uncertainty, i.DegreesOfFreedom))]);

    private sealed record Input(string Name, double Estimate, double Uncertainty, double DegreesOfFreedom, string Sensitivity);
}
