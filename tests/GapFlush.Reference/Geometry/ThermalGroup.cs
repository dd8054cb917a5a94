using GapFlush.Measurements;

namespace GapFlush.Reference.Geometry;

internal sealed class ThermalGroup : IReferenceGroup
{
    public string Name => "thermal";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (folder.Has(Name, "inputs.csv"))
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "inputs.csv"))
            {
                string id = row["id"];
                (double opening, double door, double aOpen, double aDoor, double t) = (row.Number("opening"), row.Number("door"), row.Number("a_open"), row.Number("a_door"), row.Number("T"));
                double at20 = ThermalExpansion.TotalGapAt(opening, door, aOpen, aDoor, 20), atT = ThermalExpansion.TotalGapAt(opening, door, aOpen, aDoor, t);
                output.Add(Name, id, "total_gap_at_20", at20);
                output.Add(Name, id, "total_gap_at_T", atT);
                output.Add(Name, id, "gap_change", ThermalExpansion.TotalGapChange(opening, door, aOpen, aDoor, t));
                output.Add(Name, id, "gap_change_one_side_if_centred", ThermalExpansion.TotalGapChange(opening, door, aOpen, aDoor, t) / 2);
                output.Add(Name, id, "length_at_20_from_reading", ThermalExpansion.LengthAtReference(row.Number("reading"), row.Number("a_scale"), aOpen, t));
                output.Add(Name, id, "first_order_correction", ThermalExpansion.FirstOrderCorrection(row.Number("reading"), row.Number("a_scale"), aOpen, t));
            }
        }
        if (!folder.Has(Name, "laminate_inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "laminate_inputs.csv"))
            output.Add(Name, row["id"], "quasi_isotropic_cte", ThermalExpansion.QuasiIsotropic(row.Number("E1"), row.Number("E2"), row.Number("nu12"), row.Number("a1"), row.Number("a2")));
    }
}
