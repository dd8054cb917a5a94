using System.CommandLine;
using System.Text;
using GapFlush.Cli.Running;
using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Inspection;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>The main job: everything for one aircraft.</summary>
internal static class InspectCommand
{
    private const int MostTold = 8;

    public static Command Create()
    {
        Option<string> build = new("--build") { Description = "Serial of the aircraft, as in the build column.", HelpName = "B", Required = true };
        Option<string> folder = new("--out") { Description = "Folder for results.csv, results.json, report.html, report.pdf and a map of each door.", HelpName = "DIR", Required = true };
        Command command = new("inspect", "Everything for one aircraft: judged values, maps and a report.\n"
            + "Exit code 0 when everything is within, 1 when something is outside, undecided or missing.\n\n"
            + "Example:\n  gapflush inspect fixtures/dabchick --build D4-017 --readings fixtures/dabchick/readings/D4-017.csv --out out/D4-017")
        {
            CommonOptions.Plan, build, CommonOptions.Readings, CommonOptions.Record, ScanLoading.Scans, ScanLoading.Probed, ScanLoading.Targets, ScanLoading.Aligned, ScanLoading.Unit, CommonOptions.Levels, CommonOptions.WaterTests, CommonOptions.Stage, folder, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse => Run(parse, parse.GetRequiredValue(build), parse.GetRequiredValue(folder)));
        return command;
    }

    private static int Run(ParseResult parse, string build, string folder)
    {
        Talk talk = new(parse);
        FitPlan plan = PlanLoading.Plan(parse, talk);
        IReadOnlyList<ReadingLog> given = PlanLoading.Readings(parse, plan, talk), logs = given;
        LevelLog? levels = PlanLoading.Levels(parse, plan, talk);
        WaterTestLog? waterTests = PlanLoading.WaterTests(parse, plan, talk);
        // Scans are looked at before anything is added to a record, so that a scan that is refused leaves the record as it was.
        if (given.Count == 0) logs = RecordLoading.Recorded(parse, plan, build, given, talk);
        var scans = ScanLoading.Sections(parse, plan, talk, build, logs);
        if (given.Count > 0) logs = RecordLoading.Recorded(parse, plan, build, given, talk);
        BuildInspection inspection = InspectBuild.Run(plan, build, parse.GetValue(CommonOptions.Stage), logs, scans: scans).Use(talk);
        inspection = InspectDrainage.Add(inspection, levels, waterTests, DoorSeals.StationsByDoor(inspection.Seals)).Use(talk);
        inspection = inspection with { Adjustments = AdjustDoor.ForReport(inspection) };
        Disk.WriteAll(folder, Files(inspection));
        if (talk.Json) InspectionJson.Write(talk.Output, inspection);
        else Tell(talk, inspection, folder);
        return inspection.AllWithin ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }

    private static List<(string Name, byte[] Content)> Files(BuildInspection inspection)
    {
        IReadOnlyDictionary<string, Sheet> maps = InspectionReport.Maps(inspection);
        Report report = InspectionReport.Compose(inspection, maps);
        List<Func<IEnumerable<(string, byte[])>>> work =
        [
            () => [("report.pdf", PdfReport.Write(report))],
            .. maps.Select(m => (Func<IEnumerable<(string, byte[])>>)(() => [($"map-{m.Key}.png", SheetPainter.ToPng(m.Value)), ($"map-{m.Key}.svg", Utf8(SvgWriter.Write(m.Value)))])),
            () => [("report.html", Utf8(HtmlReport.Write(report))), ("results.csv", Utf8(ResultsFile.ToCsv(inspection.Rows))), ("results.json", ResultsFile.ToJson(inspection.Rows))],
        ];
        // A task each, so that the small pieces fill in beside the long one; a list handed to a parallel query would be cut in two fixed halves.
        Task<IEnumerable<(string, byte[])>>[] tasks = [.. work.Select(w => Task.Run(w))];
        return [.. tasks.SelectMany(t => t.GetAwaiter().GetResult())];
    }

    private static void Tell(Talk talk, BuildInspection inspection, string folder)
    {
        foreach (DoorResult door in inspection.Doors)
        {
            bool touched = !inspection.Verdict.NotInspected.Contains(door.Door.Code);
            talk.Output.WriteLine(touched ? $"{door.Door.Code}  {door.Words}" : $"{door.Door.Code}  not judged: no reading of this door");
            TellOutside(talk, door);
            if (touched && inspection.SealOf(door.Door.Code) is { HasSeal: true } seal)
                foreach (Seals.LeakRun leak in seal.Leaks) talk.Output.WriteLine($"{door.Door.Code}  {(leak.IsPath ? "leak path" : "leak run")}: {leak.Words}");
        }
        foreach (Drainage.ChannelResult channel in inspection.Drainage?.Channels ?? [])
            talk.Output.WriteLine($"drain  {channel.Channel.Name}  {ResultsFile.Word(channel.Verdict)}{(inspection.Drainage!.LevelsSource is null ? " as the plan has it" : "")}");
        foreach (string sentence in inspection.Drainage?.IngressSentences ?? []) talk.Output.WriteLine($"water beside the seal  {sentence}");
        foreach (Drainage.WaterTestAgainstPrediction test in inspection.Drainage?.WaterTests ?? []) talk.Output.WriteLine($"water test  {test.Sentence}");
        foreach (Doubts.Doubt doubt in inspection.Doubts) talk.Output.WriteLine($"doubt  {DoubtLines.Of(doubt)}");
        talk.Say($"Written to {folder}: report.html, report.pdf, results.csv, results.json and a map of each door.");
        talk.Say(TitleBlock.Caution);
    }

    // What to look at first, the farthest out first; the rest stands in the report.
    private static void TellOutside(Talk talk, DoorResult door)
    {
        ResultRow[] outside = [.. door.Rows.Where(r => r.Verdict == Verdict.Outside && r.Measurement.Characteristic.Scope != CharacteristicScope.Channel).OrderByDescending(r => r.Excess)];
        foreach (ResultRow row in outside.Take(MostTold))
            talk.Output.WriteLine($"{door.Door.Code}  outside: {row.Measurement.Place}, {row.Measurement.Characteristic.Words} {Figures.Text(row.Measurement.Value!.Value)} {row.Measurement.Characteristic.Unit}, {row.Reason}");
        if (outside.Length > MostTold) talk.Output.WriteLine($"{door.Door.Code}  and {outside.Length - MostTold} more outside, in the report");
    }

    private static byte[] Utf8(string text) => Encoding.UTF8.GetBytes(text);
}
