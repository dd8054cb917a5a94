using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Plan;

namespace GapFlush.Reference.Drainage;

internal sealed class FallUncertaintyGroup : IReferenceGroup
{
    public string Name => "fall_uncertainty";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("fall_uncertainty_inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("fall_uncertainty_inputs.csv"))
        {
            string id = row["id"];
            double u = row.Number("u_height_mm"), k = row.Number("k"), limit = row.Number("limit_pct");
            double standard = FallUncertainty.Percent(u, u, row.Number("spacing_mm"));
            output.Add(Name, id, "standard_uncertainty_of_fall_pct", standard);
            output.Add(Name, id, "expanded_uncertainty_pct", k * standard);
            output.Add(Name, id, "guarded_acceptance_limit_pct", limit + k * standard);
            Conformity judged = Conformity.Judge(row.Number("measured_pct"), k * standard, k, new(limit, null), DecisionRule.ProveConformity);
            output.Add(Name, id, "verdict", judged.Verdict switch { Verdict.Within => "conforms", Verdict.Outside => "does not conform", _ => "undecided" });
            output.Add(Name, id, "spacing_needed_for_U_of_a_quarter_of_limit_mm", FallUncertainty.SpacingNeeded(u, k, limit));
        }
    }
}
