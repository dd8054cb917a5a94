using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Measurements;
using GapFlush.Store;

namespace GapFlush.Cli.Commands.Record;

/// <summary>Shows what stands in the record.</summary>
internal static class RecordListCommand
{
    private static readonly Option<string?> Door = new("--door") { Description = "Only this door.", HelpName = "D" };
    private static readonly Option<string?> Station = new("--station") { Description = "Only this station.", HelpName = "N" };
    private static readonly Option<string?> Characteristic = new("--characteristic") { Description = "Only this characteristic, by code.", HelpName = "C" };
    private static readonly Option<string?> StageOption = new("--stage") { Description = "Only readings of this stage.", HelpName = "S" };
    private static readonly Option<bool> All = new("--all") { Description = "Entries that were corrected or withdrawn too." };
    private static readonly Option<bool> Files = new("--files") { Description = "The files, and who added them, instead of the readings." };

    public static Command Create()
    {
        Command command = new("list", "The readings that stand, with the numbers of their entries.\nExample: gapflush record list --record shop.sqlite --build D4-017 --door P1 --characteristic gap")
        {
            CommonOptions.Record, CommonOptions.Build, Door, Station, Characteristic, StageOption, All, Files, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        if (parse.GetValue(Files)) return ListFiles(parse, talk);
        ReadingFilter filter = new(parse.GetValue(CommonOptions.Build), parse.GetValue(Door), parse.GetValue(Station), ManyBuildsLoading.CharacteristicOf(parse.GetValue(Characteristic)), Stage: parse.GetValue(StageOption));
        IReadOnlyList<Entry> entries = RecordLoading.With(parse, mayCreate: false, s => parse.GetValue(All) ? s.AllEntries(filter) : s.StandingEntries(filter));
        if (talk.Json)
        {
            talk.Output.WriteLine(JsonText.Write(entries.Select(e => JsonText.Object(("entry", e.Number), ("corrects", e.Corrects), ("withdrawn", e.IsWithdrawal), ("build", e.Reading.Build), ("door", e.Reading.Door), ("station", e.Reading.Station),
                ("characteristic", e.Reading.Characteristic.Code), ("value", e.Reading.Value), ("unit", e.Reading.Characteristic.Unit), ("stage", e.Reading.Stage), ("definition", e.Reading.Definition), ("repeat", e.Reading.Repeat),
                ("gauge", e.Reading.Gauge), ("inspector", e.Reading.Inspector), ("taken_at", e.Reading.TakenAt), ("temperature_c", e.Reading.TemperatureC), ("uncertainty", e.Reading.ExpandedUncertainty),
                ("plan_issue", e.Reading.PlanIssue), ("note", e.Reading.Note), ("source", e.Reading.Source), ("line", e.Reading.Line)))));
            return ExitCode.AllWithin;
        }
        foreach (string line in TextTable.Lines([">entry", "build", "door", "station", "characteristic", ">value", "unit", "stage", ">repeat", "gauge", "inspector", "taken", "from", ">corrects"],
            [.. entries.Select(e => (IReadOnlyList<string>)
            [
                Invariant($"{e.Number}"), e.Reading.Build, e.Reading.Door, e.Reading.Station, e.Reading.Characteristic.Code, e.IsWithdrawal ? "withdrawn" : e.Reading.WrittenValue, e.Reading.WrittenUnit, e.Reading.Stage ?? "-",
                Invariant($"{e.Reading.Repeat ?? 1}"), e.Reading.Gauge ?? "-", e.Reading.Inspector ?? "-", Taken(e.Reading), Invariant($"{e.Reading.Source}:{e.Reading.Line}"), e.Corrects is long old ? Invariant($"{old}") : "",
            ])])) talk.Output.WriteLine(line);
        talk.Say(Invariant($"{entries.Count} {(entries.Count == 1 ? "entry" : "entries")}."));
        return ExitCode.AllWithin;
    }

    private static int ListFiles(ParseResult parse, Talk talk)
    {
        IReadOnlyList<RecordedFile> files = RecordLoading.With(parse, mayCreate: false, s => s.Files());
        if (talk.Json)
        {
            talk.Output.WriteLine(JsonText.Write(files.Select(f => JsonText.Object(("file", f.Number), ("name", f.Name), ("sha256", f.Sha256), ("entries", f.Entries), ("added_by", f.AddedBy), ("added_at", f.AddedAt), ("why", f.Why)))));
            return ExitCode.AllWithin;
        }
        foreach (string line in TextTable.Lines([">file", "name", ">entries", "added by", "added at", "why"],
            [.. files.Select(f => (IReadOnlyList<string>)[Invariant($"{f.Number}"), f.Name, Invariant($"{f.Entries}"), f.AddedBy, Invariant($"{f.AddedAt:yyyy-MM-dd HH:mm} UTC"), f.Why ?? ""])])) talk.Output.WriteLine(line);
        return ExitCode.AllWithin;
    }

    private static string Taken(Reading reading) => reading.TakenAt is DateTimeOffset at ? Invariant($"{at:yyyy-MM-dd HH:mm}") : "-";
}
