namespace GapFlush.Plan.Files;

/// <summary>Reads <c>seals.csv</c>: which seal runs where.</summary>
internal static class SealsCsv
{
    /// <summary>The seals that could be read; null where the file cannot be used at all, so that nothing is held against it.</summary>
    public static IReadOnlyList<Seal>? Read(PlanFolder folder, PlanNames names)
    {
        if (folder.Find("seals.csv") is null) return [];
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "seals.csv", ["door", "zone", "seal"], ["free_height", "set_percent"], ["door", "zone", "set_percent"]);
        if (rows is null) return null;
        List<Seal> seals = [];
        Dictionary<(string?, string?), int> seen = [];
        foreach (PlanRow row in rows)
        {
            string? door = names.Door(row), zone = names.Zone(row, door);
            seals.Add(new(door, zone, row.Required("seal"), row.RequiredNumber("free_height", NumberRange.Positive), row.Number("set_percent", NumberRange.Percent)));
            if (seen.TryAdd((door, zone), row.Line)) continue;
            string where = (door, zone) switch { (null, null) => "every door", (null, _) => $"zone {zone} of every door", (_, null) => $"door {door}", _ => $"zone {zone} of door {door}" };
            row.Refuse("seal", $"one seal for {where}", Invariant($"Line {seen[(door, zone)]} gives one already; take one out, or name a zone."));
        }
        return seals;
    }
}
