using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Plan;

namespace GapFlush.Reference.Geometry;

/// <summary>The rigid displacement of a door from gap and flush at its stations.</summary>
internal sealed class StationsGroup : IReferenceGroup
{
    private static readonly string[] Components = ["t_fs_mm", "t_bl_mm", "t_wl_mm", "r_fs_rad", "r_bl_rad", "r_wl_rad"];

    /// <summary>The length by which the check values scale turns before a condition is taken, mm.</summary>
    private const double TurnScaleMm = 500;

    public string Name => "stations";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "parameters.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "parameters.csv"))
        {
            Point3 origin = new(row.Number("origin_fs"), row.Number("origin_bl"), row.Number("origin_wl"));
            if (folder.Has(Name, row["case"] + ".csv")) Displacement(folder, output, row["case"], origin, row.Number("gap_nominal_mm"));
            if (folder.Has(Name, row["case"] + "_points.csv")) PointsToPlanes(folder, output, row["case"], origin);
        }
    }

    private void Displacement(ReferenceFolder folder, ReferenceOutput output, string id, Point3 origin, double gapNominal)
    {
        List<SeamDeviation> deviations = [];
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, id + ".csv"))
        {
            Point3 place = new(row.Number("fs_mm"), row.Number("bl_mm"), row.Number("wl_mm"));
            Vector3 edge = new(row.Number("edge_fs"), row.Number("edge_bl"), row.Number("edge_wl")), skin = new(row.Number("skin_fs"), row.Number("skin_bl"), row.Number("skin_wl"));
            // The edge normal of the files points out of the door, ours into it.
            if (row.NumberOrNull("gap_mm") is double gap) deviations.Add(new(row["station"], Characteristic.Gap, place, -edge, gap - gapNominal, null));
            if (row.NumberOrNull("flush_mm") is double flush) deviations.Add(new(row["station"], Characteristic.Flush, place, skin, flush, null));
        }
        if (DoorDisplacement.Fit(deviations, origin, TurnScaleMm, 1e-6) is DoorDisplacement ls)
        {
            Movements(output, id, "ls", ls);
            output.Add(Name, id, "ls.rms_before", ls.RmsBeforeMm);
            output.Add(Name, id, "ls.rms_after", ls.RmsAfterMm);
            output.Add(Name, id, "ls.max_after", ls.MaxAfterMm);
            output.Add(Name, id, "ls.worst", Label(ls.Worst));
            output.Add(Name, id, "ls.dof_used", ls.Rank.ToString(CultureInfo.InvariantCulture));
        }
        foreach ((string tag, Characteristic only) in ((string, Characteristic)[])[("flush_only", Characteristic.Flush), ("gap_only", Characteristic.Gap)])
        {
            if (DoorDisplacement.Fit([.. deviations.Where(d => d.Characteristic == only)], origin, TurnScaleMm, 1e-6) is not DoorDisplacement part) continue;
            output.Add(Name, id, tag + ".condition", ConditionText.Of(part.Condition));
            output.Add(Name, id, tag + ".rank_at_1e-6", part.Rank.ToString(CultureInfo.InvariantCulture));
        }
        if (DoorDisplacement.FitMinimax(deviations, origin, TurnScaleMm, 1e-6) is DoorDisplacement minimax)
        {
            Movements(output, id, "minimax", minimax);
            output.Add(Name, id, "minimax.max_after", minimax.MaxAfterMm);
            output.Add(Name, id, "minimax.active", string.Join(";", minimax.Active.Select(a => $"{Label(a.Residual)} {(a.Sign > 0 ? '+' : '-')}")));
        }
    }

    private void PointsToPlanes(ReferenceFolder folder, ReferenceOutput output, string id, Point3 origin)
    {
        List<Point3> measured = [], nominal = [];
        List<Vector3> normals = [];
        List<bool> isSkin = [];
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, id + "_points.csv"))
        {
            measured.Add(new(row.Number("meas_fs"), row.Number("meas_bl"), row.Number("meas_wl")));
            nominal.Add(new(row.Number("nom_fs"), row.Number("nom_bl"), row.Number("nom_wl")));
            normals.Add(new(row.Number("n_fs"), row.Number("n_bl"), row.Number("n_wl")));
            isSkin.Add(row["kind"] == "skin");
        }
        if (PointToPlaneFit.Fit(measured, nominal, normals, origin, TurnScaleMm) is PointToPlaneFit ls)
        {
            Turn("point_to_plane.", "_deg", 180 / Math.PI, ls);
            output.Add(Name, id, "point_to_plane.rms", ls.RmsMm);
            output.Add(Name, id, "point_to_plane.max", ls.MaxMm);
        }
        if (PointToPlaneFit.Fit(measured, nominal, normals, origin, TurnScaleMm, singleStep: true) is PointToPlaneFit step) output.Add(Name, id, "point_to_plane.one_step_rms", step.RmsMm);
        int[] skin = [.. Enumerable.Range(0, isSkin.Count).Where(i => isSkin[i])];
        if (PointToPlaneFit.Fit([.. skin.Select(i => measured[i])], [.. skin.Select(i => nominal[i])], [.. skin.Select(i => normals[i])], origin, TurnScaleMm, singleStep: true) is PointToPlaneFit skinOnly)
            output.Add(Name, id, "point_to_plane.skin_only_condition", ConditionText.Of(skinOnly.Condition));
        if (PointToPlaneFit.FitMinimax(measured, nominal, normals, origin, TurnScaleMm, singleStep: true) is PointToPlaneFit linear)
        {
            Turn("chebyshev_linear.", "_rad", 1, linear);
            output.Add(Name, id, "chebyshev_linear.max", linear.MaxMm);
        }
        if (PointToPlaneFit.FitMinimax(measured, nominal, normals, origin, TurnScaleMm) is PointToPlaneFit exact)
        {
            Turn("chebyshev_exact.", "_deg", 180 / Math.PI, exact);
            output.Add(Name, id, "chebyshev_exact.max", exact.MaxMm);
        }

        void Turn(string prefix, string unit, double perRad, PointToPlaneFit fit)
        {
            (Vector3 r, Vector3 t) = (perRad * fit.RotationRad, fit.ShiftMm);
            foreach ((string name, double value) in (IEnumerable<(string, double)>)[("rx" + unit, r.X), ("ry" + unit, r.Y), ("rz" + unit, r.Z), ("t_fs", t.X), ("t_bl", t.Y), ("t_wl", t.Z)])
                output.Add(Name, id, prefix + name, value);
        }
    }

    private void Movements(ReferenceOutput output, string id, string fit, DoorDisplacement found)
    {
        for (int i = 0; i < 6; i++)
            if (found.Movements[i].Value is double value) output.Add(Name, id, $"{fit}.found_displacement.{Components[i]}", value);
    }

    private static string Label(DisplacementResidual residual) => $"{residual.Deviation.Station} {residual.Deviation.Characteristic.Code}";
}
