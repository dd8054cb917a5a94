using System.CommandLine;
using GapFlush.Adjustment;
using GapFlush.Cli.Running;
using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary><c>gapflush adjust</c>: how to move hinges and latches so that a door fits best.</summary>
internal static class AdjustCommand
{
    public static Command Create()
    {
        Option<string> build = new("--build") { Description = "Serial of the aircraft, as in the build column.", HelpName = "B", Required = true };
        Option<string> door = new("--door") { Description = "The door.", HelpName = "D", Required = true };
        Command command = new("adjust", "How to move hinges and latches so that a door fits best, what to expect then, and what no move cures.\n"
            + "Fewest values outside first, then the smallest worst excess, then the largest worst margin, then the fewest and smallest moves.\n"
            + "Exit code 0 when everything is expected within after the moves, 1 when something stays outside, undecided or missing.\n\n"
            + "Example:\n  gapflush adjust fixtures/dabchick --build D4-017 --door P1 --readings fixtures/dabchick/readings/D4-017.csv")
        {
            CommonOptions.Plan, build, door, CommonOptions.Readings, CommonOptions.Stage, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(parse => Run(parse, parse.GetRequiredValue(build), parse.GetRequiredValue(door)));
        return command;
    }

    private static int Run(ParseResult parse, string build, string door)
    {
        Talk talk = new(parse);
        FitPlan plan = PlanLoading.Plan(parse, talk);
        if (AdjustDoor.Check(plan, door) is InputProblem problem) throw new RefusedException([problem]);
        if (parse.GetValue(CommonOptions.Readings) is not { Length: > 0 }) throw new RefusedException("no readings are given; name the sheet of this build with --readings F.");
        IReadOnlyList<ReadingLog> logs = PlanLoading.Readings(parse, plan, talk);
        BuildInspection inspection = InspectBuild.Run(plan, build, parse.GetValue(CommonOptions.Stage), logs).Use(talk);
        DoorAdjustment advice = AdjustDoor.Run(inspection, door).Use(talk);
        foreach (Doubts.Doubt doubt in inspection.Doubts.Where(d => d.Door is null || d.Door == door)) talk.Say($"doubt  {DoubtLines.Of(doubt)}");
        talk.Output.Write(talk.Json ? AdjustOutput.Json(advice) : AdjustOutput.Text(plan, advice));
        return advice.After.Verdict == FitVerdict.Within ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }
}
