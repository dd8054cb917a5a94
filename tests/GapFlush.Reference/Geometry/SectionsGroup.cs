using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Sections;

namespace GapFlush.Reference.Geometry;

/// <summary>Exact sections from profile parameters, and lapped joints.</summary>
internal sealed class SectionsGroup : IReferenceGroup
{
    public string Name => "sections";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (folder.Has(Name, "parameters.csv"))
        {
            foreach (IGrouping<string, IReadOnlyDictionary<string, string>> pair in folder.Rows(Name, "parameters.csv").GroupBy(r => r["case"]))
            {
                IReadOnlyDictionary<string, string>? surround = pair.FirstOrDefault(r => r["part"] == "surround"), door = pair.FirstOrDefault(r => r["part"] == "door");
                if (surround is not null && door is not null) One(output, pair.Key, surround, door);
            }
        }
        if (!folder.Has(Name, "overlap_parameters.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "overlap_parameters.csv")) Lap(output, row);
    }

    internal static Outline OutlineOf(IReadOnlyDictionary<string, string> row)
    {
        double radius = Number(row, "skin_radius");
        EdgeBreak edge = row.GetValueOrDefault("chamfer_along_skin") is { Length: > 0 } ? EdgeBreak.Chamfer(Number(row, "chamfer_along_skin"), Number(row, "chamfer_along_wall")) : EdgeBreak.Radius(Number(row, "edge_radius"));
        SideProfile profile = new(edge, double.DegreesToRadians(Number(row, "draft_deg")), radius == 0 ? 0 : 1 / radius, Number(row, "skin_length"), Number(row, "wall_length"));
        return Outline.Place(profile, row["part"] == "door", new Point2(Number(row, "corner_u"), Number(row, "corner_v")), double.DegreesToRadians(Number(row, "tilt_deg")));
    }

    internal static SectionParameters ParametersOf(IReadOnlyDictionary<string, string> row) => new(Number(row, "h"), Number(row, "a1"), Number(row, "a2"), Number(row, "b"));

    private static void One(ReferenceOutput output, string name, IReadOnlyDictionary<string, string> surround, IReadOnlyDictionary<string, string> door)
    {
        SeamSection section = new(OutlineOf(surround), OutlineOf(door), ParametersOf(surround));
        Put("G1_nearest_point", section.NearestMm);
        output.Add("sections", name, "interference", section.Interferes ? "yes" : "no");
        Put("G1_angle_to_reference_deg", Degrees(section.NearestAngleRad));
        Put("G2_edge_extreme", section.EdgeMm);
        foreach (string depth in surround.GetValueOrDefault("depths", "").Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
            Put("G3_at_depth_" + depth, section.AtDepthMm(double.Parse(depth, CultureInfo.InvariantCulture)));
        Put("G4_virtual_corner", section.CornerGapMm);
        Put("G5_skin_end", section.SkinEndGapMm);
        Put("F1_two_foot_base", section.TwoFootMm);
        Put("F2_mid_gap", section.MidGapMm);
        Put("F3_skin_end", section.SkinEndFlushMm);
        Put("F4_virtual_corner", section.CornerFlushMm);
        Put("F5_curvature_carried", section.CurveCarriedMm);
        Put("tilt_door_minus_surround_deg", Degrees(section.TiltRad));
        Put("aux_XS_u", section.SurroundExtremeMm);
        Put("aux_XD_u", section.DoorExtremeMm);
        Put("aux_TS_setback", section.SurroundSkinEndSetBackMm);
        Put("aux_TD_setback", section.DoorSkinEndSetBackMm);

        void Put(string quantity, double? value)
        {
            if (value is double v) output.Add("sections", name, quantity, v);
        }
    }

    private static void Lap(ReferenceOutput output, IReadOnlyDictionary<string, string> row)
    {
        string name = row["case"];
        LapJoint lap = new(Number(row, "land_depth"), Number(row, "land_u1"), new Point2(Number(row, "tip_u"), Number(row, "tip_v")), double.DegreesToRadians(Number(row, "tilt_deg")));
        double atSeal = lap.ClearanceAtMm(Number(row, "seal_u"));
        output.Add("sections", name, "lap_length", lap.LapMm);
        output.Add("sections", name, "gap_G2", lap.GapMm);
        output.Add("sections", name, "clearance_at_seal", atSeal);
        output.Add("sections", name, "clearance_at_tip", lap.ClearanceAtMm(Number(row, "tip_u")));
        output.Add("sections", name, "clearance_at_land_end", lap.ClearanceAtMm(Number(row, "land_u1")));
        output.Add("sections", name, "clearance_square_to_flange_at_seal", lap.ClearanceSquareToFlangeAtMm(Number(row, "seal_u")));
        double percent = LapJoint.CompressionPercent(atSeal, Number(row, "free_height"));
        output.Add("sections", name, "seal_compression_pct", percent);
        output.Add("sections", name, "seal_verdict", percent <= 0 ? "no contact" : percent < Number(row, "band_min_pct") ? "below band" : percent > Number(row, "band_max_pct") ? "above band" : "in band");
    }

    private static double? Degrees(double? rad) => rad is double r ? double.RadiansToDegrees(r) : null;

    // A blank field of a profile is a zero: no chamfer, no radius.
    private static double Number(IReadOnlyDictionary<string, string> row, string column) => row.NumberOrNull(column) ?? 0;
}
