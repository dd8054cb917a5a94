using System.Globalization;
using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class OrificeGroup : IReferenceGroup
{
    private const string Puddle = "puddle_thickness_contact_";

    public string Name => "orifice";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        Water water = FolderWater.Of(folder);
        if (folder.Has("orifice_inputs.csv"))
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows("orifice_inputs.csv")) Hole(row, water, output);
        }
        if (!folder.Has("orifice_expected.csv")) return;
        // Cases of the water itself have no row of inputs; contact angles stand in the names of the quantities.
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("orifice_expected.csv").Where(r => r["case"].StartsWith("water_", StringComparison.Ordinal)))
        {
            string quantity = row["quantity"];
            if (quantity == "capillary_length") output.Add(Name, row["case"], quantity, water.CapillaryLengthMm);
            else if (quantity == "largest_puddle_thickness") output.Add(Name, row["case"], quantity, water.PuddleThicknessMm(180));
            else if (quantity.StartsWith(Puddle, StringComparison.Ordinal) && double.TryParse(quantity[Puddle.Length..].Replace("deg", "", StringComparison.Ordinal), NumberStyles.Float, CultureInfo.InvariantCulture, out double angle))
                output.Add(Name, row["case"], quantity, water.PuddleThicknessMm(angle));
        }
    }

    private void Hole(IReadOnlyDictionary<string, string> row, Water water, ReferenceOutput output)
    {
        string id = row["id"];
        double cd = row.Number("Cd"), head = row.Number("head_mm"), cw = row.NumberOrNull("Cw") ?? DrainHole.Rim;
        double? diameter = row.NumberOrNull("hole_mm");
        DrainHole hole = row.NumberOrNull("hole_area_m2") is double area ? new(area * 1e6, diameter, cd, cw) : DrainHole.Round(diameter!.Value, cd, cw);
        output.Add(Name, id, "orifice_flow", hole.OrificeFlow(head, water));
        if (hole.WeirFlow(head, water) is double weir)
        {
            output.Add(Name, id, "weir_flow", weir);
            output.Add(Name, id, "governing_flow", hole.Flow(head, water));
            output.Add(Name, id, "governing", hole.IsWeir(head, water) ? "weir" : "orifice");
            output.Add(Name, id, "weir_orifice_change_head", hole.ChangeOverHeadMm!.Value);
            output.Add(Name, id, "capillary_holdup_head", water.HoldUpHeadMm(diameter!.Value));
            output.Add(Name, id, "jurin_rise", water.CapillaryRiseMm(diameter.Value));
            output.Add(Name, id, "drains_at_this_head", hole.DrainsAt(head, water)!.Value ? "yes" : "may hang up");
        }
        if (row.NumberOrNull("plan_area_m2") is double plan) output.Add(Name, id, "time_to_drain", hole.EmptyingTime(plan, head, row.NumberOrNull("end_head_mm") ?? 0, water));
        if (row.NumberOrNull("measured_Q_Lps") is double measured) output.Add(Name, id, "Cd_from_measured_flow", hole.CoefficientFrom(measured, head, water));
    }
}
