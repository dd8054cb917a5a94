using GapFlush.Geometry;

namespace GapFlush.Reference.Geometry;

/// <summary>Straightness and roundness.</summary>
internal sealed class MinimumZoneGroup : IReferenceGroup
{
    public string Name => "minzone";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "expected.csv")) return;
        foreach (string id in folder.Rows(Name, "expected.csv").Select(r => r["case"]).Distinct())
        {
            if (!folder.Has(Name, id + ".csv")) continue;
            Point2[] points = [.. folder.Rows(Name, id + ".csv").Select(r => new Point2(r.Number("x"), r.Number("y")))];
            if (output.Wants(Name, id, "straightness.minimum_zone") && Straightness.Of(points) is Straightness straight) Put(output, id, straight);
            if (output.Wants(Name, id, "roundness.minimum_zone") && Roundness.Of(points) is Roundness round) Put(output, id, round);
        }
    }

    private void Put(ReferenceOutput output, string id, Straightness s)
    {
        output.Add(Name, id, "straightness.minimum_zone", s.Width);
        output.Add(Name, id, "straightness.contact_points", $"{s.Edge.First + 1} {s.Edge.Second + 1} | {s.Opposite + 1}");
        output.Add(Name, id, "straightness.zone_slope", s.Slope);
        if (s.LeastSquaresSpread is double ls) output.Add(Name, id, "straightness.least_squares", ls);
        if (s.EndPointSpread is double ends) output.Add(Name, id, "straightness.end_points", ends);
        if (s.VerticalSpread is not double upright || s.VerticalSlope is not double slope) return;
        output.Add(Name, id, "straightness.vertical_minimax", upright);
        output.Add(Name, id, "straightness.vertical_minimax_times_cos", upright / Math.Sqrt(1 + slope * slope));
    }

    private void Put(ReferenceOutput output, string id, Roundness r)
    {
        output.Add(Name, id, "roundness.minimum_zone", r.MinimumZone);
        output.Add(Name, id, "roundness.mz_centre_x", r.ZoneCentre.X);
        output.Add(Name, id, "roundness.mz_centre_y", r.ZoneCentre.Y);
        output.Add(Name, id, "roundness.mz_outer_radius", r.OuterRadius);
        output.Add(Name, id, "roundness.mz_inner_radius", r.InnerRadius);
        output.Add(Name, id, "roundness.mz_contacts", $"outer {string.Join(' ', r.OuterContacts.Select(i => i + 1))} | inner {string.Join(' ', r.InnerContacts.Select(i => i + 1))}");
        output.Add(Name, id, "roundness.least_squares", r.LeastSquares.Spread);
        output.Add(Name, id, "roundness.ls_centre_x", r.LeastSquares.Centre.X);
        output.Add(Name, id, "roundness.ls_centre_y", r.LeastSquares.Centre.Y);
        output.Add(Name, id, "roundness.ls_radius", r.LeastSquares.Radius);
        output.Add(Name, id, "roundness.mcc_radius", r.Circumscribed.Radius);
        output.Add(Name, id, "roundness.mcc", r.Circumscribed.Spread);
        output.Add(Name, id, "roundness.mic_radius", r.Inscribed.Radius);
        output.Add(Name, id, "roundness.mic", r.Inscribed.Spread);
    }
}
