using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Store;

/// <summary>Readings out of a record, in the form that files give.</summary>
public static class RecordedLogs
{
    /// <summary>The readings of a build, and of whatever else came in the same files, as one log a file.</summary>
    /// <param name="store">The record.</param>
    /// <param name="plan">The plan; readings of doors, stations and stages that it does not have are left out.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="tell">Takes a notice of what was left out.</param>
    public static IReadOnlyList<ReadingLog> Of(RecordStore store, FitPlan plan, string build, Action<string> tell)
    {
        Dictionary<long, RecordedFile> files = store.Files().ToDictionary(f => f.Number);
        return
        [
            .. store.StandingEntries(new(InFilesOf: build)).GroupBy(e => e.File).Select(g =>
            {
                RecordedFile file = files[g.Key];
                string source = $"{file.Name} (record, file {file.Number})";
                IReadOnlyList<Reading> readings = Suiting(plan, [.. g.Select(e => e.Reading with { Source = source })], tell);
                return new ReadingLog(source, readings, file.Sha256 ?? Convert.ToHexStringLower(file.Hash), []);
            }).Where(l => l.Readings.Count > 0),
        ];
    }

    /// <summary>The readings that a plan has a place and a stage for: a record outlives issues of the plan, and a station that the plan no longer has is no fault of the record.</summary>
    public static IReadOnlyList<Reading> Suiting(FitPlan plan, IReadOnlyList<Reading> readings, Action<string> tell) => Suiting(plan, [.. readings], static r => (r.Door, r.Station, r.Stage), tell);

    /// <summary>The same for bare readings.</summary>
    public static BareReading[] Suiting(FitPlan plan, BareReading[] readings, Action<string> tell) => Suiting(plan, readings, static r => (r.Place.Door, r.Place.Station, r.Terms.Stage), tell);

    private static T[] Suiting<T>(FitPlan plan, T[] readings, Func<T, (string Door, string Station, string? Stage)> placeOf, Action<string> tell)
    {
        Dictionary<string, HashSet<string>> doors = plan.Doors.ToDictionary(d => d.Code, d => d.Stations.Select(s => s.Name).ToHashSet());
        HashSet<string> stages = [.. plan.Stages.Select(s => s.Name)];
        (string? Door, HashSet<string>? Stations, string? Stage, bool StageSuits) last = (null, null, null, true);
        int elsewhere = 0, otherStage = 0;
        T[] suiting = Array.FindAll(readings, reading =>
        {
            (string door, string station, string? stage) = placeOf(reading);
            if (door != last.Door) (last.Door, last.Stations) = (door, doors.GetValueOrDefault(door));
            if (stage != last.Stage) (last.Stage, last.StageSuits) = (stage, stage is null || stages.Contains(stage));
            bool isPlace = last.Stations?.Contains(station) == true;
            if (!isPlace) elsewhere++;
            else if (!last.StageSuits) otherStage++;
            return isPlace && last.StageSuits;
        });
        if (elsewhere > 0) tell(Invariant($"notice: {elsewhere} reading{(elsewhere == 1 ? " is" : "s are")} left out: the plan has no such door or station."));
        if (otherStage > 0) tell(Invariant($"notice: {otherStage} reading{(otherStage == 1 ? " is" : "s are")} left out: the plan has no such stage."));
        return suiting;
    }
}
