namespace GapFlush.Plan.Files;

/// <summary>Reads <c>builds.csv</c>: which mould revision made what.</summary>
internal static class BuildsCsv
{
    /// <summary>The rows that could be read.</summary>
    public static IReadOnlyList<BuildEntry> Read(PlanFolder folder, PlanNames names)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "builds.csv", ["build", "door", "door_mould", "surround_mould", "completed_on"], ["sequence", "door_pull"],
            ["door_mould", "surround_mould", "door_pull", "completed_on"]);
        List<BuildEntry> builds = [];
        Dictionary<(string, string), int> seen = [];
        Dictionary<string, (int Sequence, int Line)> sequences = [];
        foreach (PlanRow row in rows ?? [])
        {
            string build = row.Required("build"), door = names.RequiredDoor(row);
            int? sequence = row.WholeNumber("sequence"), pull = row.WholeNumber("door_pull");
            if (row.Text("sequence") is null) row.Refuse("sequence", "a whole number", "Fill it in; it puts the builds in order.");
            if (pull < 1) row.Refuse("door_pull", "1 or a greater whole number", "The first part out of a mould is pull 1.");
            if (build.Length > 0 && door.Length > 0 && !seen.TryAdd((build, door), row.Line))
                row.Refuse("build", "each door of a build once", Invariant($"Line {seen[(build, door)]} has build {build}, door {door} already; delete or correct one."));
            if (sequence is int place && build.Length > 0 && !sequences.TryAdd(build, (place, row.Line)) && sequences[build].Sequence != place)
                row.Refuse("sequence", Invariant($"the sequence {sequences[build].Sequence} that build {build} has on line {sequences[build].Line}"), "A build has one place in the order of building; correct the one or the other.");
            builds.Add(new(build, sequence ?? 0, door, row.Text("door_mould"), row.Text("surround_mould"), pull, row.Date("completed_on")));
        }
        foreach (IGrouping<int, KeyValuePair<string, (int Sequence, int Line)>> same in sequences.GroupBy(s => s.Value.Sequence).Where(g => g.Count() > 1))
            folder.Notices.Add(Invariant($"{folder.Find("builds.csv")!.Name}:{same.Last().Value.Line}: builds {string.Join(" and ", same.Select(s => s.Key))} have the same sequence {same.Key}; their order is that of the file."));
        return builds;
    }
}
