using GapFlush.Geometry;
using GapFlush.Registration;

namespace GapFlush.Reference.Geometry;

/// <summary>Points to points.</summary>
internal sealed class RegistrationGroup : IReferenceGroup
{
    public string Name => "registration";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "expected.csv")) return;
        foreach (string id in folder.Rows(Name, "expected.csv").Select(r => r["case"]).Distinct())
        {
            if (folder.Has(Name, id + ".csv")) One(folder.Rows(Name, id + ".csv"), id, output);
        }
    }

    private void One(IReadOnlyList<IReadOnlyDictionary<string, string>> rows, string id, ReferenceOutput output)
    {
        bool inPlane = !rows[0].ContainsKey("src_z");
        Point3[] from = [.. rows.Select(r => Place(r, "src"))], to = [.. rows.Select(r => Place(r, "dst"))];
        double[] weights = [.. rows.Select(r => r.NumberOrNull("weight") ?? 1)];
        PointFit rigid = PointFit.Fit(from, to, weights, inPlane);
        Put("rigid", rigid);
        for (int k = 0; k < rigid.SingularValues.Count; k++) output.Add(Name, id, $"singular_value_{k + 1}", rigid.SingularValues[k]);
        output.Add(Name, id, "rank", rigid.Rank);
        output.Add(Name, id, "verdict", rigid.IsDetermined ? "determined" : "rotation not determined");
        if (output.Wants(Name, id, "similarity.scale"))
        {
            PointFit similar = PointFit.Fit(from, to, weights, inPlane, withScale: true);
            Put("similarity", similar);
            output.Add(Name, id, "similarity.scale", similar.Scale);
        }
        if (inPlane || !rigid.IsDetermined) return;
        output.Add(Name, id, "rigid.angle_deg", double.RadiansToDegrees(rigid.Motion.AngleRad));
        output.Add(Name, id, "mirrored.rms", PointFit.FitMirrored(from, to, weights).Rms);
        (double w, double x, double y, double z) = PointFit.Quaternion(from, to, weights);
        output.Add(Name, id, "rigid.qw", w);
        output.Add(Name, id, "rigid.qx", x);
        output.Add(Name, id, "rigid.qy", y);
        output.Add(Name, id, "rigid.qz", z);
        RigidMotion m = rigid.Motion;
        double[] matrix = [m.Row1.X, m.Row1.Y, m.Row1.Z, m.Row2.X, m.Row2.Y, m.Row2.Z, m.Row3.X, m.Row3.Y, m.Row3.Z];
        double[] horn = [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y), 2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x), 2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)];
        output.Add(Name, id, "check.horn_minus_svd_max", matrix.Zip(horn, (a, b) => Math.Abs(a - b)).Max());

        void Put(string stem, PointFit fit)
        {
            output.Add(Name, id, stem + ".rms", fit.Rms);
            output.Add(Name, id, stem + ".max_residual", fit.Residuals[fit.Worst]);
            output.Add(Name, id, stem + ".worst_point", rows[fit.Worst]["point"]);
            if (!fit.IsDetermined) return;   // one of many motions is no answer
            RigidMotion m = fit.Motion;
            foreach ((string row, Vector3 v) in new[] { ("1", m.Row1), ("2", m.Row2), ("3", m.Row3) })
            {
                output.Add(Name, id, $"{stem}.R{row}1", v.X);
                output.Add(Name, id, $"{stem}.R{row}2", v.Y);
                output.Add(Name, id, $"{stem}.R{row}3", v.Z);
            }
            output.Add(Name, id, stem + ".t_x", m.Shift.X);
            output.Add(Name, id, stem + ".t_y", m.Shift.Y);
            output.Add(Name, id, stem + ".t_z", m.Shift.Z);
        }
    }

    private static Point3 Place(IReadOnlyDictionary<string, string> row, string stem) => new(row.Number(stem + "_x"), row.Number(stem + "_y"), row.NumberOrNull(stem + "_z") ?? 0);
}
