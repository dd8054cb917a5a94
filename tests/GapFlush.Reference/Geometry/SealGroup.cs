using GapFlush.Seals;

namespace GapFlush.Reference.Geometry;

internal sealed class SealGroup : IReferenceGroup
{
    public string Name => "seal";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (folder.Has(Name, "parameters.csv"))
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "parameters.csv")) Ring(folder, row, output);
        }
        if (!folder.Has(Name, "compression_set_inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "compression_set_inputs.csv"))
        {
            (double t0, double t1, double tn) = (row.Number("t0"), row.Number("t1"), row.Number("tn"));
            output.Add(Name, row["id"], "set_of_deflection_pct", CompressionSet.OfDeflectionPercent(t0, t1, tn));
            output.Add(Name, row["id"], "set_of_thickness_pct", CompressionSet.OfThicknessPercent(t0, t1));
            output.Add(Name, row["id"], "imposed_compression_pct", CompressionSet.CompressionPercent(t0, tn));
            output.Add(Name, row["id"], "compression_left_at_same_gap_pct", CompressionSet.CompressionPercent(t1, tn));
        }
    }

    private void Ring(ReferenceFolder folder, IReadOnlyDictionary<string, string> row, ReferenceOutput output)
    {
        string id = row["id"];
        SealLoadCurve curve = new(id, [.. folder.Rows(Name, id + "_load_curve.csv").Select(p => (p.Number("compression_pct"), 10 * p.Number("force_N_per_100mm")))]);
        List<SealStation> stations = [.. folder.Rows(Name, id + ".csv").Select(s => new SealStation(s["station"], s.Number("s_mm"),
            CompressionSet.CompressionPercent(row.Number("free_height"), s.Number("clearance_mm")), row.Number("cmin_pct"), row.Number("cmax_pct"), curve))];
        SealRing ring = SealRing.Trace(stations, row.Number("perimeter"));
        output.Add(Name, id, "compression.min_pct", stations.Min(s => s.CompressionPercent!.Value));
        output.Add(Name, id, "compression.max_pct", stations.Max(s => s.CompressionPercent!.Value));
        output.Add(Name, id, "compression.mean_of_stations_pct", stations.Average(s => s.CompressionPercent!.Value));
        output.Add(Name, id, "compression.length_weighted_mean_pct", ring.MeanPercent!.Value);
        output.Add(Name, id, "closing_load_N", ring.ClosingLoadN!.Value);
        output.Add(Name, id, "handle_force_N", HandleForce.AtHandleN(ring.ClosingLoadN.Value, row.Number("lever_mm"), row.Number("handle_mm")));
        output.Add(Name, id, "below_min.total_length_mm", ring.Below.Sum(r => r.LengthMm));
        output.Add(Name, id, "below_min.runs", ring.Below.Count);
        output.Add(Name, id, "below_min.longest_run_mm", ring.LongestBelow?.LengthMm ?? 0);
        output.Add(Name, id, "below_min.longest_run_start_mm", ring.LongestBelow?.FromMm ?? 0);
        output.Add(Name, id, "below_min.longest_run_end_mm", ring.LongestBelow?.ToMm ?? 0);
        output.Add(Name, id, "above_max.total_length_mm", ring.Above.Sum(r => r.LengthMm));
        output.Add(Name, id, "leak_verdict", ring.HasLeakLongerThan(row.Number("leak_length")) ? "leak path" : "no leak path");
    }
}
