using GapFlush.Airflow;

namespace GapFlush.Reference.Geometry;

internal sealed class AeroGroup : IReferenceGroup
{
    public string Name => "aero";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "inputs.csv"))
        {
            string id = row["id"];
            double h = row.Number("h");
            StepInAir air = new(row.Number("V"), row.Number("nu"), row.Number("rho"), row.Number("x"));
            output.Add(Name, id, "unit_reynolds_per_m", air.UnitReynoldsPerM);
            output.Add(Name, id, "step_reynolds", air.StepReynolds(h));
            output.Add(Name, id, "critical_step_aft_facing_900", air.CriticalSizeMm(StepInAir.CriticalAftFacing));
            output.Add(Name, id, "critical_step_forward_facing_1800", air.CriticalSizeMm(StepInAir.CriticalForwardFacing));
            output.Add(Name, id, "critical_step_forward_facing_rounded_2700", air.CriticalSizeMm(StepInAir.CriticalForwardFacingRounded));
            output.Add(Name, id, "critical_gap_15000", air.CriticalSizeMm(StepInAir.CriticalGap));
            output.Add(Name, id, "Re_x", air.ReynoldsOnDistance);
            output.Add(Name, id, "delta_laminar", air.LaminarThicknessMm);
            output.Add(Name, id, "delta_turbulent", air.TurbulentThicknessMm);
            output.Add(Name, id, "dynamic_pressure", air.DynamicPressurePa);
            output.Add(Name, id, "q_effective_over_q", air.PressureShare(h));
            output.Add(Name, id, "q_effective_over_q_one_third_power", air.PressureShareSimple(h));
            double drag = air.StepDragN(h, row.Number("span"), row.Number("cd_step"));
            output.Add(Name, id, "step_drag", drag);
            output.Add(Name, id, "step_drag_area", drag / air.DynamicPressurePa * 1e4);
        }
    }
}
