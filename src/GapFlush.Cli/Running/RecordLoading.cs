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

    /// <summary>The record of the call.</summary>
    /// <exception cref="RefusedException">No record is named.</exception>
    public static string NamedAddress(ParseResult parse) => Address(parse) ?? throw new RefusedException($"no record is named; give --record FILE or --record postgresql://USER@HOST/DATABASE, or set {Variable}.");

    /// <summary>Works on the record of the call.</summary>
    /// <exception cref="RefusedException">No record is named, or it cannot do what is asked.</exception>
    public static T With<T>(ParseResult parse, bool mayCreate, Func<RecordStore, T> work)
    {
        string address = NamedAddress(parse);
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
        return all.Count == 0 ? throw Empty : RecordedLogs.Suiting(plan, all, talk.Say);
    }

    /// <summary>The same, as much of each reading as studies of values need.</summary>
    public static BareReading[] BareReadings(ParseResult parse, FitPlan plan, Talk talk)
    {
        BareReading[] all = With(parse, mayCreate: false, store => store.BareReadings());
        return all.Length == 0 ? throw Empty : RecordedLogs.Suiting(plan, all, talk.Say);
    }

    private static RefusedException Empty => new("the record holds no readings yet; add some with 'gapflush record add'.");

    /// <summary>What one aircraft is judged by: the files given, or, with a record, what the record holds once they are added to it.</summary>
    /// <remarks>Files are added only to a record that the call itself names: a variable set once for a whole shop is a fair place to read from, not to write to unasked.</remarks>
    public static IReadOnlyList<ReadingLog> Recorded(ParseResult parse, FitPlan plan, string build, IReadOnlyList<ReadingLog> given, Talk talk)
    {
        if (Address(parse) is null) return given;
        if (given.Count > 0 && parse.GetValue(CommonOptions.Record) is null)
        {
            talk.Say($"notice: {Variable} is set, but readings are added to a record only where --record names it; the files were judged by themselves.");
            return given;
        }
        ManyBuildsLoading.Stage(parse, plan);
        return With(parse, mayCreate: given.Count > 0, store =>
        {
            foreach (ReadingLog log in given) Add(store, log, plan, RecordCommand.Author(parse), talk);
            return RecordedLogs.Of(store, plan, build, talk.Say);
        });
    }

    /// <summary>Adds a file to the record, or refuses where the record already holds its keys.</summary>
    public static void Add(RecordStore store, ReadingLog log, FitPlan plan, Author author, Talk talk)
    {
        Addition added = store.Add(log, plan, author, SameKey.Ask);
        if (added.Known is RecordedFile known) talk.Say(AdditionWords.Known(log.Source, known));
        else if (added.File is null) throw new RefusedException(AdditionWords.Taken(log.Source, added.Taken) + " Add the file with 'gapflush record add' and --same-key replace or repeat first.");
        else talk.Say(AdditionWords.Added(log.Source, added));
    }
}
