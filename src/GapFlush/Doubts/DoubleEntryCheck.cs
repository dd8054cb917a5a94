using GapFlush.Measurements;
using GapFlush.Readings;

namespace GapFlush.Doubts;

/// <summary>double-entry: was the same file, row or sheet handed in twice for this build?</summary>
internal static class DoubleEntryCheck
{
    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        HashSet<ReadingLog> repeated = new(ReferenceEqualityComparer.Instance);
        ReadingLog[] own = [.. file.Logs.Where(l => l.Readings.Any(r => r.Build == file.Build))];
        foreach (var same in own.GroupBy(l => l.Sha256).Where(g => g.Count() > 1))
        {
            repeated.UnionWith(same.Skip(1));
            yield return new(DoubtKinds.DoubleEntry, null, [], $"The file {same.First().Source} was given {(same.Count() == 2 ? "twice" : $"{same.Count()} times")}{(same.Select(l => l.Source).Distinct().Count() > 1 ? $" (also as {Words.List([.. same.Skip(1).Select(l => l.Source).Distinct()])})" : "")}: byte for byte the same.",
                "Give it once; every reading counts as a repeat now.", same.First().Source);
        }

        // The same key and the same value: a repeat would have its own number or time.
        HashSet<Reading> mine = new(file.Readings, ReferenceEqualityComparer.Instance);
        var twins = own.Where(l => !repeated.Contains(l)).SelectMany(l => l.Readings).Where(mine.Contains)
            .GroupBy(r => (r.Door, r.Station, r.Characteristic, r.Stage, r.Repeat, r.TakenAt, r.Value, r.Definition, r.Gauge, r.Inspector)).Where(g => g.Count() > 1);
        foreach (var door in twins.GroupBy(g => g.Key.Door))
        {
            if (file.Sheets.FirstOrDefault(s => s.Door.Code == door.Key) is not DoorSheet sheet) continue;
            Reading second = door.First().ElementAt(1), first = door.First().First();
            string[] stations = [.. sheet.Order.Where(s => door.Any(g => g.Key.Station == s))];
            string lines = first.Source == second.Source ? Invariant($"lines {first.Line} and {second.Line}") : Invariant($"{first.Source} line {first.Line} and {second.Source} line {second.Line}");
            yield return new(DoubtKinds.DoubleEntry, door.Key, stations,
                $"{Words.Count(door.Count(), "reading")} of {door.Key}, {Words.Stations(stations, sheet.Order)}, stand there twice with the same value, time and number ({lines} and so on).".Replace(" and so on", door.Count() > 1 ? " and so on" : ""),
                "Take one of each out, or number them as repeats if they were read twice; a value entered twice counts double.", second.Source, second.Line);
        }

        // The same sheet under two doors, or handed in again under another time or number.
        for (int i = 0; i < file.Sheets.Count; i++)
        {
            for (int j = i + 1; j < file.Sheets.Count; j++)
            {
                (DoorSheet a, DoorSheet b) = (file.Sheets[i], file.Sheets[j]);
                (int common, int equal) = SerialCheck.Compare(Of(a), Of(b));
                if (common < SerialCheck.LeastInCommon || equal < SerialCheck.CopiedShare * common) continue;
                string one = a.Door.Code + Words.AtStage(a.Stage), two = b.Door.Code + Words.AtStage(b.Stage);
                yield return new(DoubtKinds.DoubleEntry, b.Door.Code, [], $"{equal} of {common} readings of {two} have the same value as those of {one}.",
                    "Two sheets do not read alike to the last digit; find out which of the two the sheet belongs to.", b.Everything.First().Reading.Source, b.Everything.First().Reading.Line);
            }
        }

        static Dictionary<(Plan.Characteristic, string), double> Of(DoorSheet sheet) => SerialCheck.Values(sheet.Everything.Select(p => p.Reading));
    }
}
