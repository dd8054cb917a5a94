using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class ManningPublishedGroup : IReferenceGroup
{
    public string Name => "manning_published";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("manning_published_inputs.csv")) return;
        Water si = FolderWater.Of(folder);
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("manning_published_inputs.csv"))
        {
            if (FolderWater.Section(row) is not ChannelSection section) continue;
            Water water = si with { Gravity = row.NumberOrNull("g") ?? si.Gravity };
            double n = row.Number("n"), k = row.NumberOrNull("k") ?? 1;
            double slope = row.NumberOrNull("S") ?? Slope.FromDegrees(row.Number("S_deg")).Ratio;
            UniformFlow? flow = row.NumberOrNull("y") is double depth ? UniformFlow.AtDepth(section, depth, n, slope, water, k)
                : UniformFlow.AtFlow(section, row.Number("Q"), n, slope, FolderWater.Rim(row), water, k);
            if (flow is null) continue;
            string id = row["id"];
            output.Add(Name, id, "Q", flow.Flow);
            output.Add(Name, id, "y", flow.Depth);
            output.Add(Name, id, "A", flow.Area);
            output.Add(Name, id, "P", flow.WettedPerimeter);
            output.Add(Name, id, "R", flow.HydraulicRadius);
            output.Add(Name, id, "T", flow.TopWidth);
            output.Add(Name, id, "V", flow.Velocity);
            output.Add(Name, id, "Fr", flow.Froude);
            if (flow.Critical is not CriticalFlow critical) continue;
            output.Add(Name, id, "yc", critical.Depth);
            output.Add(Name, id, "Vc", critical.Velocity);
            output.Add(Name, id, "Tc", critical.TopWidth);
            output.Add(Name, id, "Sc", critical.Slope);
        }
    }
}
