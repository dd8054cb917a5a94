using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Measurements;
using GapFlush.Store;

namespace GapFlush.Cli.Commands.Record;

/// <summary>Corrects or withdraws one entry by a new one.</summary>
internal static class RecordCorrectCommand
{
    private static readonly Option<long> EntryOption = new("--entry") { Description = "Number of the entry, as 'record list' shows it.", HelpName = "N", Required = true };
    private static readonly Option<decimal?> Value = new("--value") { Description = "What should have been logged, in the unit that it was logged in.", HelpName = "V" };
    private static readonly Option<bool> Withdraw = new("--withdraw") { Description = "Take the reading out: it should not have been logged at all." };

    // Factor to mm of a unit of length; a share stays as it is.
    private static readonly Dictionary<string, double> Lengths = new() { ["mm"] = 1, ["in"] = 25.4, ["um"] = 0.001 };

    public static Command Create()
    {
        Command command = new("correct", "Enters a correction: a new entry that names the old one, who, when and why. The old entry stays to be seen.\nExample: gapflush record correct --record shop.sqlite --entry 118 --value 4.15 --why \"digits exchanged; sheet checked\" --by \"A. Teal\"")
        {
            CommonOptions.Record, EntryOption, Value, Withdraw, RecordCommand.By, RecordCommand.Why, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        Author author = RecordCommand.Author(parse);
        long number = parse.GetValue(EntryOption);
        decimal? value = parse.GetValue(Value);
        if (author.Why is null) throw new RefusedException("a correction needs a reason; say it with --why \"...\".");
        if (value is null == !parse.GetValue(Withdraw)) throw new RefusedException("say what should stand: either --value V or --withdraw.");
        RecordedFile file = RecordLoading.With(parse, mayCreate: false, store =>
        {
            Reading? now = null;
            if (value is decimal v)
            {
                Reading old = store.Find(number)?.Reading ?? throw new RefusedException(Invariant($"the record has no entry {number}; 'gapflush record list' shows the numbers."));
                string written = v.ToString(System.Globalization.CultureInfo.InvariantCulture);
                int point = written.IndexOf('.', StringComparison.Ordinal);
                now = old with { Value = (double)v * Lengths.GetValueOrDefault(old.WrittenUnit, 1), WrittenValue = written, WrittenDecimals = point < 0 ? 0 : written.Length - point - 1 };
            }
            return store.Correct([(number, now)], author);
        });
        if (talk.Json) talk.Output.WriteLine(JsonText.Write(JsonText.Object(("file", file.Number), ("corrects", number))));
        else talk.Output.WriteLine(Invariant($"Entry {number} {(value is null ? "withdrawn" : "corrected")} by {file.AddedBy}: {file.Why}"));
        return ExitCode.AllWithin;
    }
}
