using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Store.Exchange;

namespace GapFlush.Cli.Commands.Record;

/// <summary>Adds files of readings, or takes an export back.</summary>
internal static class RecordAddCommand
{
    private static readonly Argument<string[]> Paths = new("PATHS") { Description = "The fit plan's folder and files of readings; or one export of a record, which needs no plan.", Arity = ArgumentArity.OneOrMore };
    private static readonly Option<SameKey> SameKeyOption = new("--same-key")
    {
        Description = "What to do with a reading that the record already holds under the same build, door, station, characteristic, stage, definition and repeat: replace (a correction, with --why), repeat (a further repeat), or ask.",
        DefaultValueFactory = _ => SameKey.Ask,
    };

    public static Command Create()
    {
        Command command = new("add", "Adds files of readings, each whole or not at all. The same file is added once.\nExample: gapflush record add fixtures/dabchick fixtures/dabchick/readings/D4-017.csv --record shop.sqlite --by \"A. Teal\"")
        {
            Paths, CommonOptions.Record, SameKeyOption, RecordCommand.By, RecordCommand.Why, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        string[] paths = parse.GetValue(Paths) ?? [], folders = [.. paths.Where(Directory.Exists)], files = [.. paths.Where(p => !Directory.Exists(p))];
        SameKey sameKey = parse.GetValue(SameKeyOption);
        Author author = RecordCommand.Author(parse);
        if (files.Length == 0) throw new RefusedException("no file to add is named; name the plan's folder and files of readings.");
        if (folders.Length > 1) throw new RefusedException($"two folders are named, '{folders[0]}' and '{folders[1]}'; name one fit plan.");
        if (sameKey == SameKey.Replace && author.Why is null) throw new RefusedException("replacing is a correction and needs a reason; say it with --why \"...\".");
        if (files.Length == 1 && IsExport(files[0])) return Import(parse, talk, files[0]);
        if (folders.Length == 0) throw new RefusedException("readings are read against a fit plan; name the plan's folder too.");
        FitPlan plan = PlanReader.Read(Disk.PlanFolder(folders[0])).Use(talk);
        List<Outcome<ReadingLog>> outcomes = [.. files.Select(f => ReadingsReader.Read(Disk.Input(f), plan))];
        List<InputProblem> problems = [.. outcomes.SelectMany(o => o.Problems)];
        if (problems.Count > 0) throw new RefusedException(problems);
        List<ReadingLog> logs = [.. outcomes.Select(o => o.Use(talk))];
        List<object> rows = [];
        List<string> refused = [];
        RecordLoading.With(parse, mayCreate: true, store =>
        {
            store.Progress = talk.Progress;
            foreach (ReadingLog log in logs)
            {
                Addition added = store.Add(log, plan, author, sameKey);
                talk.EndProgress();
                if (added is { File: null, Known: null, Taken.Count: > 0 } && sameKey == SameKey.Ask)
                {
                    if (talk.Json || Console.IsInputRedirected)
                    {
                        refused.Add(AdditionWords.Taken(log.Source, added.Taken));
                        continue;
                    }
                    added = Asked(store, log, plan, author, added, talk);
                }
                Tell(talk, log.Source, added);
                rows.Add(JsonText.Object(("file", log.Source), ("number", added.File?.Number ?? added.Known?.Number), ("already_there", added.Known is not null), ("entries", added.File?.Entries ?? 0),
                    ("corrected", added.Corrected), ("repeated", added.Repeated), ("left_out", added.LeftOut)));
            }
            if (talk.Json) talk.Output.WriteLine(JsonText.Write(rows));
            return 0;
        });
        if (refused.Count > 0)
            throw new RefusedException(string.Join("\ngapflush: ", [.. refused, "say with --same-key replace (and --why) that these readings correct the old ones, or with --same-key repeat that they are further repeats" + (refused.Count < logs.Count ? "; the other files were added." : ".")]));
        return ExitCode.AllWithin;
    }

    // What was acknowledged is on the disk: the line goes out at once, and after it the file stays whatever happens.
    private static void Tell(Talk talk, string source, Addition added)
    {
        if (talk.Json) return;
        talk.Output.WriteLine(added.Known is RecordedFile known ? AdditionWords.Known(source, known) : AdditionWords.Added(source, added));
        talk.Output.Flush();
    }

    private static Addition Asked(RecordStore store, ReadingLog log, FitPlan plan, Author author, Addition refused, Talk talk)
    {
        talk.Output.WriteLine(AdditionWords.Taken(log.Source, refused.Taken));
        talk.Output.Write("Type replace (they correct the old ones), repeat (both stand), or nothing to leave the file out: ");
        string answer = Console.In.ReadLine()?.Trim().ToLowerInvariant() ?? "";
        if (answer == "repeat") return store.Add(log, plan, author, SameKey.Repeat);
        if (answer != "replace") throw new RefusedException($"{log.Source} was left out, and what was named after it; what was added before it stays.");
        if (author.Why is null) talk.Output.Write("Why are they corrected? ");
        string? why = author.Why ?? Console.In.ReadLine()?.Trim();
        if (string.IsNullOrEmpty(why)) throw new RefusedException("a correction needs a reason. Nothing was added.");
        return store.Add(log, plan, author with { Why = why }, SameKey.Replace);
    }

    private static bool IsExport(string path)
    {
        using Stream stream = Disk.Input(path).Open();
        using StreamReader reader = new(stream);
        string[] columns = (reader.ReadLine() ?? "").Split(',');
        return ExportColumns.Marks.All(columns.Contains);
    }

    private static int Import(ParseResult parse, Talk talk, string path)
    {
        RecordExport export = RecordExport.Read(Disk.Input(path)).Use(talk);
        (long added, Head head) = RecordLoading.With(parse, mayCreate: true, store => (store.Import(export), store.Head()));
        if (talk.Json) talk.Output.WriteLine(JsonText.Write(JsonText.Object(("file", path), ("entries", added), ("head", head.Hash))));
        else talk.Output.WriteLine(added == 0 ? $"{path}: the record already holds all of it. Head {head.Hash}" : Invariant($"{path}: {added} entries taken back. Head {head.Hash}"));
        return ExitCode.AllWithin;
    }
}
