using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Reference.Geometry;

/// <summary>Orthogonal fits, and taper along a side. What is fitted to a file is told from the quantities that are expected of it.</summary>
internal sealed class FitsGroup : IReferenceGroup
{
    public string Name => "fits";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "expected.csv")) return;
        foreach (string id in folder.Rows(Name, "expected.csv").Select(r => r["case"]).Distinct())
        {
            if (!folder.Has(Name, id + ".csv")) continue;
            IReadOnlyList<IReadOnlyDictionary<string, string>> rows = folder.Rows(Name, id + ".csv");
            if (rows.Count == 0) continue;
            if (rows[0].ContainsKey("s_mm")) Taper(output, id, rows);
            else if (rows[0].ContainsKey("x")) Shapes(output, id, rows, rows[0].ContainsKey("z"));
        }
    }

    private void Shapes(ReferenceOutput output, string id, IReadOnlyList<IReadOnlyDictionary<string, string>> rows, bool inSpace)
    {
        Point3[] points = [.. rows.Select(r => new Point3(r.Number("x"), r.Number("y"), inSpace ? r.Number("z") : 0))];
        bool Wants(string quantity) => output.Wants(Name, id, quantity);
        void Put(string quantity, double value) => output.Add(Name, id, quantity, value);
        void PutVector(string stem, double x, double y, double z)
        {
            Put(stem + "_x", x);
            Put(stem + "_y", y);
            if (inSpace) Put(stem + "_z", z);
        }

        if (Wants("line.dir_x") && LineFit.Fit(points) is LineFit line)
        {
            PutVector("line.centroid", line.Centroid.X, line.Centroid.Y, line.Centroid.Z);
            PutVector("line.dir", line.Direction.X, line.Direction.Y, line.Direction.Z);
            Put("line.ssd", line.SumOfSquares);
            Put("line.rms", line.Rms);
            Put("line.max_distance", line.MaxDistance);
            Put("line.slope", line.Direction.Y / line.Direction.X);
            Put("line.intercept", line.Centroid.Y - line.Direction.Y / line.Direction.X * line.Centroid.X);
        }
        if (Wants("ols.slope") && RegressionLine.Fit([.. points.Select(p => p.X)], [.. points.Select(p => p.Y)]) is RegressionLine ols)
        {
            Put("ols.intercept", ols.Intercept);
            Put("ols.slope", ols.Slope);
        }
        if (Wants("plane.normal_x") && PlaneFit.Fit(points) is PlaneFit plane)
        {
            PutVector("plane.centroid", plane.Centroid.X, plane.Centroid.Y, plane.Centroid.Z);
            PutVector("plane.normal", plane.Normal.X, plane.Normal.Y, plane.Normal.Z);
            Put("plane.ssd", plane.SumOfSquares);
            Put("plane.rms", plane.Rms);
            Put("plane.max_minus_min", plane.Spread);
        }
        if (Wants("geometric.radius") && inSpace && SphereFit.Fit(points) is SphereFit sphere)
        {
            PutVector("geometric.centre", sphere.Centre.X, sphere.Centre.Y, sphere.Centre.Z);
            Put("geometric.radius", sphere.Radius);
            Put("geometric.ssd", sphere.SumOfSquares);
            Put("geometric.rms", sphere.Rms);
            Put("geometric.max_minus_min", sphere.Spread);
        }
        if (!inSpace)
        {
            Point2[] flat = [.. points.Select(p => new Point2(p.X, p.Y))];
            foreach (CircleMethod method in Enum.GetValues<CircleMethod>())
            {
                string stem = method.ToString().ToLowerInvariant();
                if (!Wants(stem + ".radius") || CircleFit.Fit(flat, method) is not CircleFit circle) continue;
                PutVector(stem + ".centre", circle.Centre.X, circle.Centre.Y, 0);
                Put(stem + ".radius", circle.Radius);
                Put(stem + ".ssd", circle.SumOfSquares);
                Put(stem + ".rms", circle.Rms);
                Put(stem + ".max_minus_min", circle.Spread);
            }
        }
        if (Wants("cylinder.radius") && CylinderFit.Fit(points) is CylinderFit cylinder)
        {
            PutVector("cylinder.axis", cylinder.Axis.X, cylinder.Axis.Y, cylinder.Axis.Z);
            PutVector("cylinder.point", cylinder.Point.X, cylinder.Point.Y, cylinder.Point.Z);
            Put("cylinder.radius", cylinder.Radius);
            Put("cylinder.ssd", cylinder.SumOfSquares);
            Put("cylinder.rms", cylinder.Rms);
        }
        if (Wants("circle3d.radius") && SpaceCircleFit.Fit(points) is SpaceCircleFit rim)
        {
            PutVector("circle3d.centre", rim.Centre.X, rim.Centre.Y, rim.Centre.Z);
            PutVector("circle3d.normal", rim.Normal.X, rim.Normal.Y, rim.Normal.Z);
            Put("circle3d.radius", rim.Radius);
            Put("circle3d.ssd", rim.SumOfSquares);
        }
    }

    private void Taper(ReferenceOutput output, string id, IReadOnlyList<IReadOnlyDictionary<string, string>> rows)
    {
        double[] s = [.. rows.Select(r => r.Number("s_mm"))], gap = [.. rows.Select(r => r.Number("gap_mm"))];
        output.Add(Name, id, "parallelism.max_minus_min", gap.Max() - gap.Min());
        if (Straightness.Of([.. s.Zip(gap, (x, y) => new Point2(x, y))])?.VerticalSpread is double spread) output.Add(Name, id, "taper.minimax_half_width", spread / 2);
        if (RegressionLine.Fit(s, gap) is not RegressionLine line) return;
        output.Add(Name, id, "taper.mm_per_m", 1000 * line.Slope);
        output.Add(Name, id, "taper.end_to_end", line.Slope * (s.Max() - s.Min()));
        output.Add(Name, id, "taper.angle_deg", double.RadiansToDegrees(Math.Atan(line.Slope)));
        output.Add(Name, id, "taper.intercept", line.Intercept);
        if (line.ResidualSd is double sd) output.Add(Name, id, "taper.residual_sd", sd);
        if (line.SlopeUncertainty is double se) output.Add(Name, id, "taper.slope_se_mm_per_m", 1000 * se);
    }
}
