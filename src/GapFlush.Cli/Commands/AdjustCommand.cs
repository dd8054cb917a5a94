using System.CommandLine;
using System.Text;
using GapFlush.Adjustment;
using GapFlush.Cli.Running;
using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Reports.Adjustments;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Sections;
using GapFlush.Store;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary><c>gapflush adjust</c>: how to move hinges and latches so that a door fits best.</summary>
internal static class AdjustCommand
{
    public static Command Create()
    {
        Option<string> build = new("--build") { Description = "Serial of the aircraft, as in the build column.", HelpName = "B", Required = true };
        Option<string> door = new("--door") { Description = "The door.", HelpName = "D", Required = true };
        Option<string?> folder = new("--out") { Description = "A folder for the page to work from: adjust.html, adjust.pdf, and the maps of before and after as SVG and PNG.", HelpName = "DIR" };
        Command command = new("adjust", "How to move hinges and latches so that a door fits best, what to expect then, and what no move cures.\n"
            + "Fewest values outside first, then the smallest worst excess, then the largest worst margin, then the fewest and smallest moves.\n"
            + "With a scan, which side of the seam carries what no move cures.\n"
            + "Exit code 0 when everything is expected within after the moves, 1 when something stays outside, undecided or missing.\n\n"
            + "Example:\n  gapflush adjust fixtures/dabchick --build D4-017 --door P1 --readings fixtures/dabchick/readings/D4-017.csv")
        {
            CommonOptions.Plan, build, door, CommonOptions.Readings, CommonOptions.Record, ScanLoading.Scans, ScanLoading.Probed, ScanLoading.Targets, ScanLoading.Aligned, ScanLoading.Unit, CommonOptions.Stage, folder, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse => Run(parse, parse.GetRequiredValue(build), parse.GetRequiredValue(door), parse.GetValue(folder)));
        return command;
    }

    private static int Run(ParseResult parse, string build, string door, string? folder)
    {
        Talk talk = new(parse);
        FitPlan plan = PlanLoading.Plan(parse, talk);
        if (AdjustDoor.Check(plan, door) is InputProblem problem) throw new RefusedException([problem]);
        IReadOnlyList<ReadingLog> logs = Logs(parse, plan, build, talk);
        IReadOnlyList<DoorScan> scans = ScanLoading.Sections(parse, plan, talk, build, logs);
        BuildInspection inspection = InspectBuild.Run(plan, build, parse.GetValue(CommonOptions.Stage), logs, scans: scans).Use(talk);
        DoorAdjustment advice = AdjustDoor.Run(inspection, door).Use(talk);
        foreach (Doubts.Doubt doubt in inspection.Doubts.Where(d => d.Door is null || d.Door == door)) talk.Say($"doubt  {DoubtLines.Of(doubt)}");
        if (folder is not null)
        {
            Report page = AdjustmentPages.Compose(plan, advice);
            (Sheet before, Sheet after) = AdjustmentPages.Maps(plan, advice);
            Disk.WriteAll(folder,
            [
                ("adjust.html", Encoding.UTF8.GetBytes(HtmlReport.Write(page))), ("adjust.pdf", PdfReport.Write(page)),
                ($"map-{door}-before.svg", Encoding.UTF8.GetBytes(SvgWriter.Write(before))), ($"map-{door}-before.png", SheetPainter.ToPng(before)),
                ($"map-{door}-after.svg", Encoding.UTF8.GetBytes(SvgWriter.Write(after))), ($"map-{door}-after.png", SheetPainter.ToPng(after)),
            ]);
            talk.Say($"Written to {folder}: adjust.html, adjust.pdf and the maps of before and after.");
        }
        talk.Output.Write(talk.Json ? AdjustOutput.Json(advice) : AdjustOutput.Text(plan, advice));
        return advice.After.Verdict == FitVerdict.Within ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }

    // Readings that are named count; without any, the record that is named or set.
    private static IReadOnlyList<ReadingLog> Logs(ParseResult parse, FitPlan plan, string build, Talk talk)
    {
        bool isGiven = parse.GetValue(CommonOptions.Readings) is { Length: > 0 };
        if (isGiven && parse.GetValue(CommonOptions.Record) is not null) throw new RefusedException("--readings and --record both say where the readings are; give one of them.");
        if (isGiven) return PlanLoading.Readings(parse, plan, talk);
        if (RecordLoading.Address(parse) is null && (parse.GetValue(ScanLoading.Scans) is { Length: > 0 } || parse.GetValue(ScanLoading.Probed) is { Length: > 0 })) return [];
        if (RecordLoading.Address(parse) is null) throw new RefusedException("no readings are given; name the sheet of this build with --readings F, the record with --record R, or a scan with --scan DOOR=F.");
        return RecordLoading.With(parse, mayCreate: false, store => RecordedLogs.Of(store, plan, build, talk.Say));
    }
}
