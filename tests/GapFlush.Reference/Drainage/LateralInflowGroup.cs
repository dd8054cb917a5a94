using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class LateralInflowGroup : IReferenceGroup
{
    public string Name => "lateral_inflow";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("lateral_inflow_inputs.csv")) return;
        Water water = FolderWater.Of(folder);
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("lateral_inflow_inputs.csv"))
        {
            string id = row["id"];
            RectangularSection section = new(row.Number("b_mm") / 1000);
            double length = row.Number("length_mm") / 1000, flow = row.Number("Q_Lps") / 1000, slope = Slope.FromPercent(row.Number("slope_pct")).Ratio;
            double critical = CriticalFlow.DepthFor(section, flow, water.Gravity)!.Value;
            output.Add(Name, id, "critical_depth_at_outlet", critical * 1000);
            output.Add(Name, id, "upstream_depth_level_frictionless", CollectingChannel.HeadDepthLevel(critical) * 1000);
            output.Add(Name, id, "upstream_depth_slope_formula", CollectingChannel.HeadDepthSloping(critical, critical, slope, length) * 1000);
            WaterProfile profile = WaterProfile.Solve([new(length, slope, section, row.Number("n"), 0, flow)], water: water);
            // Where the flow passes through critical above the outlet, the balance from the outlet upwards has no answer for the head.
            if (!profile.IsSubcritical) continue;
            output.Add(Name, id, "upstream_depth_with_friction", profile.HeadDepth * 1000);
            if (row.NumberOrNull("gutter_depth_mm") is double rim) output.Add(Name, id, "fits", profile.HeadDepth * 1000 <= rim ? "yes" : "overtops");
        }
    }
}
