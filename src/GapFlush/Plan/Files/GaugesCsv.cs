namespace GapFlush.Plan.Files;

/// <summary>Reads <c>gauges.csv</c>: the gauges of the shop with what their certificates say.</summary>
internal static class GaugesCsv
{
    /// <summary>The gauges that could be read.</summary>
    public static IReadOnlyList<Gauge> Read(PlanFolder folder)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "gauges.csv", ["gauge", "kind", "calibration_due"], ["resolution", "uncertainty", "coverage_factor"],
            ["kind", "resolution", "uncertainty", "coverage_factor", "calibration_due"]);
        List<Gauge> gauges = [];
        Dictionary<string, int> seen = [];
        foreach (PlanRow row in rows ?? [])
        {
            Gauge gauge = new(row.Required("gauge"), row.Text("kind") ?? "", row.Number("resolution", NumberRange.Positive), row.Number("uncertainty", NumberRange.Positive),
                row.Number("coverage_factor", NumberRange.Positive) ?? 2, row.Date("calibration_due"));
            if (gauge.Name.Length > 0 && !seen.TryAdd(gauge.Name, row.Line))
                row.Refuse("gauge", "each gauge once", Invariant($"Line {seen[gauge.Name]} has this name; rename or delete one."));
            gauges.Add(gauge);
        }
        return gauges;
    }
}
