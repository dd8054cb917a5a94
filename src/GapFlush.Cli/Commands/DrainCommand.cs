using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Drainage;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Scans;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary><c>gapflush drain</c>: does the rain leave by the drains in every attitude.</summary>
internal static class DrainCommand
{
    public static Command Create()
    {
        Option<string?> scan = new("--scan") { Description = "A scan that shows the channels (PLY, STL, E57, or text with x, y, z), instead of levels; with --targets, or --aligned where it is in the plan's axes.", HelpName = "F" };
        Option<string?> targets = new("--targets") { Description = "Targets in the scan's own axes (datum,x,y,z), to register by.", HelpName = "F" };
        Option<bool> aligned = new("--aligned") { Description = "The scan is in the plan's axes already." };
        Option<string?> unit = new("--unit") { Description = "Unit of the scan and its targets: mm (the usual), in or m.", HelpName = "U" };
        unit.AcceptOnlyFromAmong("mm", "in", "m");
        Command command = new("drain",
            "Slope, fall, ponding and capacity of every drain channel in every attitude of the plan, as the plan has them or as measured.\n"
            + "With --readings, water that stands or runs over is put beside the seal there.\n"
            + "Example: gapflush drain fixtures/dabchick --build D4-021 --levels fixtures/dabchick/levels/D4-021.csv --readings fixtures/dabchick/readings/D4-021.csv")
        {
            CommonOptions.Plan, CommonOptions.Levels, CommonOptions.Build, CommonOptions.Readings, scan, targets, aligned, unit, CommonOptions.WaterTests, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse =>
        {
            Talk talk = new(parse);
            FitPlan plan = PlanReader.Read(Disk.PlanFolder(parse.GetValue(CommonOptions.Plan)!)).Use(talk);
            string? build = parse.GetValue(CommonOptions.Build);
            LevelLog? log = PlanLoading.Levels(parse, plan, talk);
            ScannedChannels? scanned = null;
            if (parse.GetValue(scan) is string scanPath)
            {
                if (log is not null) throw new RefusedException("--levels and --scan both say how the channels lie; give one of them.");
                if (parse.GetValue(aligned) == parse.GetValue(targets) is not null) throw new RefusedException("--scan needs either --targets to register it, or --aligned where it is in the plan's axes already.");
                scanned = ChannelScan.Read(plan, Disk.Input(scanPath), parse.GetValue(targets) is string targetPath ? TargetsReader.Read(Disk.Input(targetPath), plan).Use(talk) : null,
                    parse.GetValue(unit) switch { "mm" => 1, "in" => 25.4, "m" => 1000, _ => null }).Use(talk);
            }
            IReadOnlyList<ReadingLog> readings = PlanLoading.Readings(parse, plan, talk);
            IReadOnlyDictionary<string, IReadOnlyList<SealStation>>? seals = readings.Count == 0 ? null : DrainSeals.Of(plan, build ?? (log?.Builds.Count == 1 ? log.Builds[0] : null), readings).Use(talk);
            if (build is not null && log is null && scanned is null && seals is null)
                throw new RefusedException("--build names whose levels are meant, but no --levels (or --scan) are given, nor --readings of its seals. Give the file, or leave --build out to judge the plan's own channels.");
            WaterTestLog? tests = PlanLoading.WaterTests(parse, plan, talk);
            DrainResult result = DrainPlan.Run(plan, log, build, seals, scan: scanned, waterTests: tests).Use(talk);
            talk.Output.Write(talk.Json ? DrainOutput.Json(result) : DrainOutput.Text(result));
            return result.AllWithin && !result.HasIngressRisk ? ExitCode.AllWithin : ExitCode.NotAllWithin;
        });
        return command;
    }
}
