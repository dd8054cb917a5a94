using System.CommandLine;
using System.Text;
using System.Text.Json;
using GapFlush.Cli.Running;
using GapFlush.Doubts;
using GapFlush.Drainage;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Sections;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Says what would be refused or doubted, without analysing.</summary>
internal static class CheckCommand
{
    public static Command Create()
    {
        Command command = new("check", "Say everything about a plan, reading files and scans that would be refused or doubted, and why, without analysing.\n"
            + "Exit code 0 when there is nothing, 1 when something is doubted, 2 when something would be refused.\n\n"
            + "Example:\n  gapflush check fixtures/dabchick --readings fixtures/dabchick/readings/D4-005.csv")
        {
            CommonOptions.Plan, CommonOptions.Readings, ScanLoading.Scans, ScanLoading.Probed, ScanLoading.Targets, ScanLoading.Aligned, ScanLoading.Unit, CommonOptions.Levels, CommonOptions.WaterTests, CommonOptions.Stage, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        Outcome<FitPlan> read = PlanReader.Read(Disk.PlanFolder(parse.GetRequiredValue(CommonOptions.Plan)));
        // Without a plan the reading files can still be looked at for their form.
        if (!read.IsUsable) throw new RefusedException([.. read.Problems, .. (parse.GetValue(CommonOptions.Readings) ?? []).SelectMany(f => ReadingsReader.FormProblems(Disk.Input(f)))]);
        FitPlan plan = read.Use(talk);
        IReadOnlyList<ReadingLog> logs = PlanLoading.Readings(parse, plan, talk);
        LevelLog? levels = PlanLoading.Levels(parse, plan, talk);
        WaterTestLog? tests = PlanLoading.WaterTests(parse, plan, talk);
        // A plan without channels is sound; one whose channels cannot be reckoned with would be refused by drain.
        if (plan.Channels.Count > 0 && ChannelChecks.Problems(plan, "channels.csv") is { Count: > 0 } problems) throw new RefusedException(problems);
        // Scans and touches are of one aircraft: that of the readings, else that of the touches.
        string build = logs.SelectMany(l => l.Builds).FirstOrDefault() ?? ScanLoading.ProbedBuild(parse, plan) ?? "";
        IReadOnlyList<DoorScan> scans = ScanLoading.Sections(parse, plan, talk, build, logs);
        List<(string Build, Doubt Doubt)> doubts = [.. logs.SelectMany(l => l.Builds).Distinct()
            .SelectMany(b => DoubtFinder.Find(plan, b, parse.GetValue(CommonOptions.Stage), logs).Select(d => (b, d))).DistinctBy(d => d.d)];
        string? stage = parse.GetValue(CommonOptions.Stage);
        doubts.AddRange(ScannedDoors.Join(build, PlanConditions.Apply(plan, stage, [.. logs.SelectMany(l => l.Readings).Where(r => r.Build == build)]), scans).Doubts.Select(d => (build, d)));
        doubts.InsertRange(0, SealPlanCheck.Of(plan).Select(d => ("plan", d)));
        if (talk.Json)
        {
            using MemoryStream stream = new();
            using (Utf8JsonWriter json = new(stream, JsonStyle.Indented)) InspectionJson.Doubts(json, doubts.Select(d => d.Doubt));
            talk.Output.WriteLine(Encoding.UTF8.GetString(stream.ToArray()));
        }
        else
        {
            talk.Output.WriteLine($"plan {plan.Name}: {plan.Doors.Count} doors, {plan.Doors.Sum(d => d.Stations.Count)} stations, {plan.Limits.Rows.Count} limit rows: can be used");
            foreach (ReadingLog log in logs) talk.Output.WriteLine($"{log.Source}: {log.Readings.Count} readings of build {string.Join(", ", log.Builds)}: can be used");
            if (plan.Channels.Count > 0) talk.Output.WriteLine($"channels.csv: {plan.Channels.Count} drain channels, {plan.Channels.Sum(c => c.Points.Count)} points: can be used");
            if (levels is not null) talk.Output.WriteLine($"{levels.Source}: {levels.Levels.Count} levels of build {string.Join(", ", levels.Builds)}: can be used");
            if (tests is not null) talk.Output.WriteLine($"{tests.Source}: {tests.Tests.Count} water tests: can be used");
            foreach (DoorScan scan in scans)
                talk.Output.WriteLine(Invariant($"{scan.Source}: {scan.Facts.Format}, {scan.Facts.Points} points, laid on the plan by {scan.Registration.Method}: can be used for door {scan.Door.Code}, {scan.Stations.Count(s => s.GapMm is not null && s.FlushMm is not null)} of {scan.Stations.Count} stations"));
            foreach ((string of, Doubt doubt) in doubts) talk.Output.WriteLine($"doubt  {of}  {DoubtLines.Of(doubt)}");
            if (doubts.Count == 0 && logs.Count + scans.Count > 0) talk.Output.WriteLine("nothing is doubted");
        }
        return doubts.Count == 0 ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }
}
