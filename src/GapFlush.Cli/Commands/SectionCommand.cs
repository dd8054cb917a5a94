using System.CommandLine;
using System.Text;
using GapFlush.Cli.Running;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Scans;
using GapFlush.Sections;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary><c>gapflush section</c>: a scan to gap and flush at each station.</summary>
internal static class SectionCommand
{
    public static Command Create()
    {
        Option<string> door = new("--door") { Description = "Code of the door that was scanned.", HelpName = "D", Required = true };
        Option<string?> scan = new("--scan") { Description = "The scan: PLY, STL, E57, or delimited text with x, y, z.", HelpName = "F" };
        Option<string?> probed = new("--probed") { Description = "Instead of a scan: touches of an arm or tracker (build,door,station,side,feature,x,y,z, optional ball_radius, stage).", HelpName = "F" };
        Option<string?> targets = new("--targets") { Description = "Targets in the scan's own axes (datum,x,y,z), to register by. Without them the scan is laid on the plan by its seam.", HelpName = "F" };
        Option<bool> aligned = new("--aligned") { Description = "The scan is in the plan's axes already; nothing is moved." };
        Option<string?> unit = new("--unit") { Description = "Unit of the scan and its targets: mm (the usual), in or m.", HelpName = "U" };
        unit.AcceptOnlyFromAmong("mm", "in", "m");
        Option<string?> output = new("--out") { Description = "File to write the rows to, instead of standard output.", HelpName = "F" };
        Option<string?> sections = new("--sections") { Description = "Folder for drawings of cross-sections, SVG and PNG: points, fitted outlines, gap and flush dimensioned.", HelpName = "DIR" };
        Option<string[]> stations = new("--stations") { Description = "Stations to draw, by name, or all; without it the six that use up most of their tolerance.", HelpName = "N", AllowMultipleArgumentsPerToken = true };
        Command command = new("section",
            "Gap and flush at every station of a door from a scan, with uncertainty, and each side's own place against nominal.\n"
            + "Example: gapflush section PLAN --door P1 --scan door.ply --out sections.csv --sections drawings")
        {
            CommonOptions.Plan, door, scan, probed, targets, aligned, unit, CommonOptions.Build, CommonOptions.Stage, output, sections, stations, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse =>
        {
            Talk talk = new(parse);
            if (parse.GetValue(aligned) && parse.GetValue(targets) is not null) throw new RefusedException("--targets registers the scan and --aligned says that nothing is to be moved; give one of them.");
            double? unitMm = ScanLoading.SizeOf(parse.GetValue(unit));
            // Looked at while the plan is read: neither needs the other. A file that is not there is told of after what is wrong with the plan.
            Task<ScanLook>? look = parse.GetValue(probed) is null && parse.GetValue(scan) is string there && File.Exists(there) ? Task.Run(() => ScanLook.Of(talk.Watch(Disk.Input(there)), unitMm, parse.GetValue(aligned))) : null;
            FitPlan plan = PlanReader.Read(Disk.PlanFolder(parse.GetValue(CommonOptions.Plan)!)).Use(talk);
            string code = parse.GetValue(door)!;
            Door asked = plan.FindDoor(code) ?? throw new RefusedException($"--door: the plan has no door '{code}'. Doors: {string.Join(", ", plan.Doors.Select(d => d.Code))}.");
            string? stage = parse.GetValue(CommonOptions.Stage);
            if (stage is not null && plan.FindStage(stage) is null) throw new RefusedException($"--stage: the plan has no stage '{stage}'. Stages: {string.Join(", ", plan.Stages.Select(s => s.Name))}.");
            if (parse.GetValue(scan) is null == parse.GetValue(probed) is null) throw new RefusedException("give either a scan with --scan or probed points with --probed.");
            ProbedLog? touches = parse.GetValue(probed) is string touched ? ProbedReader.Read(Disk.Input(touched), plan).Use(talk) : null;
            string build = BuildOf(parse.GetValue(CommonOptions.Build), touches);
            if (touches is not null && ScanLoading.StageOf(parse, plan, asked, build, [], touches, out stage) is InputProblem problem) throw new RefusedException([problem]);
            ScanRequest request = new()
            {
                Aligned = parse.GetValue(aligned),
                Targets = parse.GetValue(targets) is string path ? TargetsReader.Read(Disk.Input(path), plan).Use(talk) : null,
                UnitMm = unitMm,
                Stage = stage,
                Options = new() { Scanner = SectionOptions.ScannerOf(plan), Progress = talk.Progress },
            };
            Outcome<DoorScan> outcome = touches is not null ? ProbedSectioning.Run(plan, asked, build, touches, request) : ScanSectioning.Run(plan, asked, look?.GetAwaiter().GetResult() ?? ScanLook.Of(Disk.Input(parse.GetValue(scan)!), unitMm, request.Aligned), request);
            talk.EndProgress();
            DoorScan result = outcome.Use(talk);
            ScanLoading.TellUnknownScanner([result], talk);
            if (parse.GetValue(sections) is string folder) Disk.WriteAll(folder, SectionDrawings.Files(plan, result, parse.GetValue(stations) ?? []));
            else if (parse.GetValue(stations) is { Length: > 0 }) throw new RefusedException("--stations says which stations to draw; give a folder for the drawings with --sections.");
            string text = talk.Json ? SectionOutput.Json(result) : SectionOutput.Csv(result);
            if (parse.GetValue(output) is string to) Disk.Write(to, Encoding.UTF8.GetBytes(text));
            else talk.Output.Write(text);
            int missing = result.Stations.Count(s => s.GapMm is null || s.FlushMm is null);
            if (missing > 0) talk.Say(Invariant($"{missing} of {result.Stations.Count} stations lack gap or flush; their reason stands in the row."));
            return missing == 0 ? ExitCode.AllWithin : ExitCode.NotAllWithin;
        });
        return command;
    }

    // A file of one build says itself which it is.
    private static string BuildOf(string? asked, ProbedLog? touches)
    {
        if (touches is null || asked is not null) return asked ?? "";
        return touches.Builds.Count == 1 ? touches.Builds[0] : throw new RefusedException($"the probed points are of builds {string.Join(", ", touches.Builds)}; choose with --build.");
    }
}
