namespace GapFlush.Plan.Files;

/// <summary>Reads <c>datums.csv</c>: the targets a scan is registered to.</summary>
internal static class DatumsCsv
{
    /// <summary>The targets that could be read.</summary>
    public static IReadOnlyList<Datum> Read(PlanFolder folder)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "datums.csv", ["datum"], ["x", "y", "z", "sigma"], ["sigma"]);
        List<Datum> datums = [];
        Dictionary<string, int> seen = [];
        foreach (PlanRow row in rows ?? [])
        {
            Datum datum = new(row.Required("datum"), row.Place(), row.Number("sigma", NumberRange.Positive));
            if (datum.Name.Length > 0 && !seen.TryAdd(datum.Name, row.Line))
                row.Refuse("datum", "each target once", Invariant($"Line {seen[datum.Name]} has this name; rename or delete one."));
            datums.Add(datum);
        }
        return datums;
    }
}
