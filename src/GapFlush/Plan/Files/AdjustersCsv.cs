namespace GapFlush.Plan.Files;

/// <summary>Reads <c>adjusters.csv</c>: what holds each door, and how far it can be moved.</summary>
internal static class AdjustersCsv
{
    /// <summary>The adjusters that could be read.</summary>
    public static IReadOnlyList<Adjuster> Read(PlanFolder folder, PlanNames names)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "adjusters.csv", ["door", "adjuster"], ["x", "y", "z", "dx", "dy", "dz", "minimum", "maximum", "step"], ["step"]);
        List<Adjuster> adjusters = [];
        Dictionary<(string, string), int> seen = [];
        foreach (PlanRow row in rows ?? [])
        {
            Adjuster adjuster = new(names.RequiredDoor(row), row.Required("adjuster"), row.Place(), row.UnitVector("d"),
                row.RequiredNumber("minimum", NumberRange.Any), row.RequiredNumber("maximum", NumberRange.Any), row.Number("step", NumberRange.Positive));
            if (row.IsSound && adjuster.MinimumMm > adjuster.MaximumMm)
                row.Refuse("minimum", Invariant($"a least move not above the greatest, {adjuster.MaximumMm}"), "Moves are in mm along the direction; exchange the two if they changed places.");
            if (adjuster.Name.Length > 0 && !seen.TryAdd((adjuster.Door, adjuster.Name), row.Line))
                row.Refuse("adjuster", $"each adjuster of door {adjuster.Door} once", Invariant($"Line {seen[(adjuster.Door, adjuster.Name)]} has this name; rename or delete one."));
            if (row.IsSound && (adjuster.MinimumMm > 0 || adjuster.MaximumMm < 0))
                folder.Notices.Add(Invariant($"{folder.Find("adjusters.csv")!.Name}:{row.Line}: adjuster {adjuster.Name} of door {adjuster.Door} may not stay where it is: its moves go from {adjuster.MinimumMm} to {adjuster.MaximumMm} mm."));
            adjusters.Add(adjuster);
        }
        return adjusters;
    }
}
