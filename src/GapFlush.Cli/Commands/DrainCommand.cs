using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary><c>gapflush drain</c>: does the rain leave by the drains in every attitude.</summary>
internal static class DrainCommand
{
    public static Command Create()
    {
        Option<string?> levels = new("--levels") { Description = "A file of measured channel levels (build,channel,point,z or with x,y); without it the channels are judged as the plan has them.", HelpName = "F" };
        Option<string?> waterTests = new("--water-tests") { Description = "A file of water tests (build,door,result and station,attitude,minutes,flow_l_per_min): shown beside what is predicted, never mixed with it.", HelpName = "F" };
        Command command = new("drain",
            "Slope, fall, ponding and capacity of every drain channel in every attitude of the plan, as the plan has them or as measured.\n"
            + "Example: gapflush drain fixtures/dabchick --build D4-021 --levels fixtures/dabchick/levels/D4-021.csv")
        {
            CommonOptions.Plan, levels, CommonOptions.Build, waterTests, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse =>
        {
            Talk talk = new(parse);
            FitPlan plan = PlanReader.Read(Disk.PlanFolder(parse.GetValue(CommonOptions.Plan)!)).Use(talk);
            string? build = parse.GetValue(CommonOptions.Build);
            LevelLog? log = parse.GetValue(levels) is string path ? LevelsReader.Read(Disk.Input(path), plan).Use(talk) : null;
            if (build is not null && log is null) throw new RefusedException("--build names whose levels are meant, but no --levels are given. Give the file, or leave --build out to judge the plan's own channels.");
            WaterTestLog? tests = parse.GetValue(waterTests) is string file ? WaterTestsReader.Read(Disk.Input(file), plan).Use(talk) : null;
            DrainResult result = DrainPlan.Run(plan, log, build, waterTests: tests).Use(talk);
            talk.Output.Write(talk.Json ? DrainOutput.Json(result) : DrainOutput.Text(result));
            return result.AllWithin ? ExitCode.AllWithin : ExitCode.NotAllWithin;
        });
        return command;
    }
}
