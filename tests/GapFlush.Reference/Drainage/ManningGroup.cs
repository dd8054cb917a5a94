using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class ManningGroup : IReferenceGroup
{
    public string Name => "manning";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("manning_inputs.csv")) return;
        Water water = FolderWater.Of(folder);
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("manning_inputs.csv"))
        {
            if (FolderWater.Section(row)?.Scaled(0.001) is not ChannelSection section) continue;
            double n = row.Number("n"), slope = Slope.FromPercent(row.Number("slope_pct")).Ratio;
            string id = row["id"];
            UniformFlow? flow = row.NumberOrNull("y_mm") is double depth ? UniformFlow.AtDepth(section, depth / 1000, n, slope, water)
                : UniformFlow.AtFlow(section, row.Number("Q_Lps") / 1000, n, slope, FolderWater.Rim(row) / 1000, water);
            if (flow is null)
            {
                output.Add(Name, id, "normal_depth", "none");
                continue;
            }
            output.Add(Name, id, "flow", flow.Flow * 1000);
            output.Add(Name, id, "normal_depth", flow.Depth * 1000);
            output.Add(Name, id, "area", flow.Area * 1e6);
            output.Add(Name, id, "wetted_perimeter", flow.WettedPerimeter * 1000);
            output.Add(Name, id, "hydraulic_radius", flow.HydraulicRadius * 1000);
            output.Add(Name, id, "top_width", flow.TopWidth * 1000);
            output.Add(Name, id, "velocity", flow.Velocity);
            output.Add(Name, id, "froude", flow.Froude);
            output.Add(Name, id, "reynolds_4VR_over_nu", flow.Reynolds);
            output.Add(Name, id, "regime", flow.IsManningSound ? "turbulent" : "laminar or transitional: Manning not valid");
            output.Add(Name, id, "bond_number", flow.Bond);
            output.Add(Name, id, "smooth_wall_slope_needed_pct", new Slope(flow.SmoothWallSlope).Percent);
            if (flow.Critical is not CriticalFlow critical) continue;
            output.Add(Name, id, "critical_depth", critical.Depth * 1000);
            output.Add(Name, id, "critical_velocity", critical.Velocity);
            output.Add(Name, id, "critical_slope_pct", new Slope(critical.Slope).Percent);
            output.Add(Name, id, "flow_type", flow.Depth > critical.Depth ? "subcritical (mild)" : "supercritical (steep)");
        }
    }
}
