namespace GapFlush.Plan.Files;

/// <summary>Reads <c>seals.csv</c>: which seal runs where.</summary>
internal static class SealsCsv
{
    private static readonly Dictionary<string, SealJoint> _joints = new(StringComparer.OrdinalIgnoreCase) { ["lap"] = SealJoint.Lap, ["butt"] = SealJoint.Butt };

    /// <summary>The seals that could be read; null where the file cannot be used at all, so that nothing is held against it.</summary>
    public static IReadOnlyList<Seal>? Read(PlanFolder folder, PlanNames names)
    {
        if (folder.Find("seals.csv") is null) return [];
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "seals.csv", ["door", "zone", "seal", "joint"], ["free_height", "set_percent", "free_height_uncertainty", "land_uncertainty"],
            ["door", "zone", "set_percent", "joint", "free_height_uncertainty", "land_uncertainty"]);
        if (rows is null) return null;
        List<Seal> seals = [];
        Dictionary<(string?, string?), int> seen = [];
        foreach (PlanRow row in rows)
        {
            string? door = names.Door(row), zone = names.Zone(row, door);
            seals.Add(new(door, zone, row.Required("seal"), row.RequiredNumber("free_height", NumberRange.Positive), row.Number("set_percent", NumberRange.Percent))
            {
                Joint = row.Word("joint", _joints) ?? SealJoint.Lap,
                FreeHeightUncertaintyMm = row.Number("free_height_uncertainty", NumberRange.NotNegative),
                LandUncertaintyMm = row.Number("land_uncertainty", NumberRange.NotNegative),
            });
            if (seen.TryAdd((door, zone), row.Line)) continue;
            string where = (door, zone) switch { (null, null) => "every door", (null, _) => $"zone {zone} of every door", (_, null) => $"door {door}", _ => $"zone {zone} of door {door}" };
            row.Refuse("seal", $"one seal for {where}", Invariant($"Line {seen[(door, zone)]} gives one already; take one out, or name a zone."));
        }
        return seals;
    }
}
