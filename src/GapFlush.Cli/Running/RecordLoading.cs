using System.CommandLine;
using GapFlush.Cli.Commands.Record;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;

namespace GapFlush.Cli.Running;

/// <summary>Opens the record of a call, and takes readings out of it in the form that files give.</summary>
internal static class RecordLoading
{
    /// <summary>The environment variable that gives the record where the call names none.</summary>
    public const string Variable = "GAPFLUSH_RECORD";

    /// <summary>The record of the call, or null.</summary>
    public static string? Address(ParseResult parse) => parse.GetValue(CommonOptions.Record) ?? (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } address ? address : null);

    /// <summary>Works on the record of the call.</summary>
    /// <exception cref="RefusedException">No record is named, or it cannot do what is asked.</exception>
    public static T With<T>(ParseResult parse, bool mayCreate, Func<RecordStore, T> work)
    {
        string address = Address(parse) ?? throw new RefusedException($"no record is named; give --record FILE or --record postgresql://USER@HOST/DATABASE, or set {Variable}.");
        try
        {
            using RecordStore store = RecordStore.Open(address, mayCreate);
            return work(store);
        }
        catch (RecordException refused)
        {
            throw new RefusedException(refused.Message);
        }
    }

    /// <summary>All readings of the record that the plan knows a place for.</summary>
    public static IReadOnlyList<Reading> Readings(ParseResult parse, FitPlan plan, Talk talk)
    {
        IReadOnlyList<Reading> all = With(parse, mayCreate: false, store => store.Readings());
        if (all.Count == 0) throw new RefusedException("the record holds no readings yet; add some with 'gapflush record add'.");
        return Suiting(plan, all, talk);
    }

    /// <summary>What one aircraft is judged by: the files given, or, with a record, what the record holds once they are added to it.</summary>
    public static IReadOnlyList<ReadingLog> Recorded(ParseResult parse, FitPlan plan, string build, IReadOnlyList<ReadingLog> given, Talk talk)
    {
        if (Address(parse) is null) return given;
        ManyBuildsLoading.Stage(parse, plan);
        return With(parse, mayCreate: given.Count > 0, store =>
        {
            foreach (ReadingLog log in given) Add(store, log, plan, RecordCommand.Author(parse), talk);
            return Logs(store, plan, build, talk);
        });
    }

    /// <summary>The readings of a build, and of whatever else came in the same files, as one log a file.</summary>
    public static IReadOnlyList<ReadingLog> Logs(RecordStore store, FitPlan plan, string build, Talk talk)
    {
        Dictionary<long, RecordedFile> files = store.Files().ToDictionary(f => f.Number);
        return
        [
            .. store.StandingEntries(new(InFilesOf: build)).GroupBy(e => e.File).Select(g =>
            {
                RecordedFile file = files[g.Key];
                string source = $"{file.Name} (record, file {file.Number})";
                IReadOnlyList<Reading> readings = Suiting(plan, [.. g.Select(e => e.Reading with { Source = source })], talk);
                return new ReadingLog(source, readings, file.Sha256 ?? Convert.ToHexStringLower(file.Hash), []);
            }).Where(l => l.Readings.Count > 0),
        ];
    }

    /// <summary>Adds a file to the record, or refuses where the record already holds its keys.</summary>
    public static void Add(RecordStore store, ReadingLog log, FitPlan plan, Author author, Talk talk)
    {
        Addition added = store.Add(log, plan, author, SameKey.Ask);
        if (added.Known is RecordedFile known) talk.Say(AdditionWords.Known(log.Source, known));
        else if (added.File is null) throw new RefusedException(AdditionWords.Taken(log.Source, added.Taken) + " Add the file with 'gapflush record add' and --same-key replace or repeat first.");
        else talk.Say(AdditionWords.Added(log.Source, added));
    }

    // A record outlives issues of the plan: a station that the plan no longer has is no fault of the record.
    private static List<Reading> Suiting(FitPlan plan, IReadOnlyList<Reading> readings, Talk talk)
    {
        List<Reading> suiting = new(readings.Count);
        HashSet<(string, string)> places = [.. plan.Doors.SelectMany(d => d.Stations.Select(s => (d.Code, s.Name)))];
        HashSet<string> stages = [.. plan.Stages.Select(s => s.Name)];
        int elsewhere = 0, otherStage = 0;
        foreach (Reading reading in readings)
        {
            if (!places.Contains((reading.Door, reading.Station))) elsewhere++;
            else if (reading.Stage is string stage && !stages.Contains(stage)) otherStage++;
            else suiting.Add(reading);
        }
        if (elsewhere > 0) talk.Say(Invariant($"notice: {elsewhere} reading{(elsewhere == 1 ? " is" : "s are")} left out: the plan has no such door or station."));
        if (otherStage > 0) talk.Say(Invariant($"notice: {otherStage} reading{(otherStage == 1 ? " is" : "s are")} left out: the plan has no such stage."));
        return suiting;
    }
}
