using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Doubts;

/// <summary>wrong-serial: is the serial known, is a door of this file under another serial, and do its values stand under another serial too?</summary>
internal static class SerialCheck
{
    /// <summary>So many stations in common, or a repetition says nothing.</summary>
    internal const int LeastInCommon = 10;

    /// <summary>Share of equal values from which two sheets are one. METHOD.md, section wrong-serial, has the chance of it.</summary>
    internal const double CopiedShare = 0.7;

    public static IEnumerable<Doubt> Find(CaseFile file) => [.. Unlisted(file), .. UnderAnotherSerial(file), .. Copied(file)];

    private static IEnumerable<Doubt> Unlisted(CaseFile file)
    {
        string[] known = [.. file.Plan.Builds.Select(b => b.Build).Distinct()];
        if (known.Length == 0) yield break;
        foreach (ReadingLog log in file.Logs)
        {
            // One log holds one aircraft as a rule: a serial that is in no list is asked about even where it is not the one looked at.
            foreach (var rows in log.Readings.Where(r => !known.Contains(r.Build)).GroupBy(r => r.Build))
            {
                string[] doors = [.. rows.Select(r => r.Door).Distinct()];
                yield return new(DoubtKinds.WrongSerial, doors.Length == 1 ? doors[0] : null, [],
                    $"{Words.Count(rows.Count(), "reading")} of door{(doors.Length > 1 ? "s" : "")} {Words.List(doors)} carry the serial {rows.Key}, which is not in builds.csv{(NearestName.Among(rows.Key, known) is string near ? $"; the nearest there is {near}" : "")}.",
                    "Ask which aircraft was read; correct the serial, or add the build to builds.csv.", log.Source, rows.First().Line);
            }
        }
    }

    private static IEnumerable<Doubt> UnderAnotherSerial(CaseFile file)
    {
        foreach (ReadingLog log in file.Logs)
        {
            Reading[] own = [.. log.Readings.Where(r => r.Build == file.Build)];
            if (own.Length == 0) continue;
            HashSet<string> doors = [.. file.Logs.SelectMany(l => l.Readings).Where(r => r.Build == file.Build).Select(r => r.Door)];
            HashSet<DateOnly> days = [.. own.Where(r => r.TakenAt is not null).Select(Day)];
            foreach (var rows in log.Readings.Where(r => r.Build != file.Build && file.Plan.Builds.Any(b => b.Build == r.Build)).GroupBy(r => r.Build))
            {
                // A log of several aircraft has all doors of each; here one serial has just the doors that the other lacks, on the same day.
                string[] others = [.. rows.Select(r => r.Door).Distinct()];
                if (others.Any(doors.Contains) || others.Length + doors.Count > file.Plan.Doors.Count || !rows.All(r => r.TakenAt is null || days.Contains(Day(r)))) continue;
                yield return new(DoubtKinds.WrongSerial, others.Length == 1 ? others[0] : null, [],
                    $"{Words.Count(rows.Count(), "reading")} of door{(others.Length > 1 ? "s" : "")} {Words.List(others)} in this file carry the serial {rows.Key}; {file.Build} has none of {(others.Length > 1 ? "these doors" : "this door")}, and the rest of the file is {file.Build}.",
                    $"Ask which aircraft was read; if it was {file.Build}, correct the serial.", log.Source, rows.First().Line);
            }
        }

        static DateOnly Day(Reading r) => DateOnly.FromDateTime(r.TakenAt!.Value.DateTime);
    }

    private static IEnumerable<Doubt> Copied(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            Dictionary<(Characteristic, string), double> here = Values(sheet.Everything.Select(p => p.Reading));
            foreach (var other in file.OtherReadings.Where(r => r.Door == sheet.Door.Code).GroupBy(r => (r.Build, r.Stage)))
            {
                (int common, int equal) = Compare(here, Values(other));
                if (common < LeastInCommon || equal < CopiedShare * common) continue;
                Reading there = other.First(), first = sheet.Everything.First().Reading;
                yield return new(DoubtKinds.WrongSerial, sheet.Door.Code, [],
                    $"{equal} of {common} readings of {sheet.Door.Code} have the same value as under serial {there.Build} in {there.Source}.",
                    $"Two doors do not read alike to the last digit; ask which aircraft the sheet belongs to, {file.Build} or {there.Build}.", first.Source, first.Line);
            }
        }
    }

    /// <summary>The first value at every place of a sheet.</summary>
    internal static Dictionary<(Characteristic, string), double> Values(IEnumerable<Reading> readings)
    {
        Dictionary<(Characteristic, string), double> values = [];
        foreach (Reading r in readings) values.TryAdd((r.Characteristic, r.Station), r.Value);
        return values;
    }

    /// <summary>Places that two sheets have in common, and how many of them have the same value.</summary>
    internal static (int Common, int Equal) Compare(Dictionary<(Characteristic, string), double> a, Dictionary<(Characteristic, string), double> b)
    {
        int common = 0, equal = 0;
        foreach (((Characteristic, string) place, double value) in a)
        {
            if (!b.TryGetValue(place, out double other)) continue;
            common++;
            if (Math.Abs(other - value) < 1e-9) equal++;
        }
        return (common, equal);
    }
}
