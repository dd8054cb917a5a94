using GapFlush.Readings;

namespace GapFlush.Doubts;

/// <summary>paint-state by its marks: is one sheet partly of one stage and partly of another?</summary>
/// <remarks>A file that holds a whole sheet for each stage is no mix: most stations then stand at both.</remarks>
internal static class StageMixCheck
{
    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        foreach (ReadingLog log in file.Logs)
        {
            foreach (var rows in log.Readings.Where(r => r.Build == file.Build).GroupBy(r => (r.Door, r.Characteristic)))
            {
                var stages = rows.GroupBy(r => r.Stage ?? "").Select(g => (Stage: g.Key, Stations: g.Select(r => r.Station).ToHashSet(), First: g.First())).OrderByDescending(s => s.Stations.Count).ToArray();
                foreach (var (stage, stations, first) in stages.Skip(1))
                {
                    if (2 * stations.Count(stages[0].Stations.Contains) > stations.Count) continue;
                    string Name(string s) => s.Length > 0 ? $"{s}{(file.Plan.FindStage(s)?.Paint is string paint ? $" ({paint})" : "")}" : "no stage";
                    string[] order = [.. file.Plan.FindDoor(rows.Key.Door)?.Stations.Select(s => s.Name) ?? []];
                    string[] names = [.. order.Where(stations.Contains)];
                    yield return new(DoubtKinds.PaintState, rows.Key.Door, names,
                        $"The {rows.Key.Characteristic.Words} sheet of {rows.Key.Door} is marked {Name(stages[0].Stage)} at {Words.Count(stages[0].Stations.Count, "station")} and {Name(stage)} at {Words.Stations(names, order)}.",
                        "A door is in one state at a time; ask in which it was read, and mark every row alike.", log.Source, first.Line);
                }
            }
        }
    }
}
