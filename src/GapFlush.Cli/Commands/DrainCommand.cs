using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Drainage;
using GapFlush.Inputs;
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
        Option<string?> scan = new("--scan") { Description = "A scan that shows the channels (PLY, STL, E57, or text with x, y, z), instead of levels; with --targets or --door to register it by, or --aligned where it is in the plan's axes.", HelpName = "F" };
        Option<string?> targets = new("--targets") { Description = "Targets in the scan's own axes (datum,x,y,z), to register by.", HelpName = "F" };
        Option<string?> seamOf = new("--door") { Description = "The door that the scan shows: without targets the scan is laid on the plan by the seam of this door and its surround.", HelpName = "D" };
        Option<bool> aligned = new("--aligned") { Description = "The scan is in the plan's axes already." };
        Option<string?> unit = new("--unit") { Description = "Unit of the scan and its targets: mm (the usual), in or m.", HelpName = "U" };
        unit.AcceptOnlyFromAmong("mm", "in", "m");
        Command command = new("drain",
            "Slope, fall, ponding and capacity of every drain channel in every attitude of the plan, as the plan has them or as measured.\n"
            + "With --readings, water that stands or runs over is put beside the seal there.\n"
            + "Example: gapflush drain fixtures/dabchick --build D4-021 --levels fixtures/dabchick/levels/D4-021.csv --readings fixtures/dabchick/readings/D4-021.csv")
        {
            CommonOptions.Plan, CommonOptions.Levels, CommonOptions.Build, CommonOptions.Readings, scan, targets, seamOf, aligned, unit, CommonOptions.WaterTests, CommonOptions.Json, CommonOptions.Quiet,
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
                string? code = parse.GetValue(seamOf);
                if (new[] { parse.GetValue(aligned), parse.GetValue(targets) is not null, code is not null }.Count(given => given) != 1)
                    throw new RefusedException("--scan needs either --targets to register it, or --door to lay it on the plan by that door's seam, or --aligned where it is in the plan's axes already: one of them.");
                Door? door = code is null ? null : plan.FindDoor(code) ?? throw new RefusedException($"--door: the plan has no door '{code}'. {NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])}");
                scanned = ChannelScan.Read(plan, Disk.Input(scanPath), parse.GetValue(targets) is string targetPath ? TargetsReader.Read(Disk.Input(targetPath), plan).Use(talk) : null,
                    parse.GetValue(unit) switch { "mm" => 1, "in" => 25.4, "m" => 1000, _ => null }, door).Use(talk);
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
