using System.CommandLine;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Cli.Running;

/// <summary>Reads a plan and the readings of many builds, or refuses with every problem of all files.</summary>
internal static class ManyBuildsLoading
{
    /// <summary>The plan and all readings: files in the order given, or the record.</summary>
    /// <exception cref="RefusedException">A file is missing or wrong, or no file is given.</exception>
    public static (FitPlan Plan, IReadOnlyList<Reading> Readings) Read(ParseResult parse, Talk talk, bool takesRecord = true) =>
        Read(parse, talk, takesRecord, static readings => readings, RecordLoading.Readings);

    /// <summary>The same, as much of each reading as studies of values need.</summary>
    /// <exception cref="RefusedException">A file is missing or wrong, or no file is given.</exception>
    public static (FitPlan Plan, BareReading[] Readings) ReadBare(ParseResult parse, Talk talk) => Read(parse, talk, takesRecord: true, BareReading.Of, RecordLoading.BareReadings);

    private static (FitPlan Plan, T Readings) Read<T>(ParseResult parse, Talk talk, bool takesRecord, Func<IReadOnlyList<Reading>, T> ofFiles, Func<ParseResult, FitPlan, Talk, T> ofRecord)
    {
        string[] files = parse.GetValue(CommonOptions.Readings) ?? [];
        if (files.Length == 0 && (!takesRecord || RecordLoading.Address(parse) is null))
            throw new RefusedException($"no readings are given; name the files of all builds with --readings F..., several at once if you like{(takesRecord ? ", or the record with --record R" : "")}.");
        if (files.Length > 0 && takesRecord && parse.GetValue(CommonOptions.Record) is not null) throw new RefusedException("give --readings or --record, not both; 'gapflush record add' puts files into the record.");
        FitPlan plan = PlanReader.Read(Disk.PlanFolder(parse.GetValue(CommonOptions.Plan)!)).Use(talk);
        if (files.Length == 0) return (plan, ofRecord(parse, plan, talk));
        List<Reading> readings = [];
        List<InputProblem> problems = [];
        Dictionary<string, string> seen = [];
        foreach (string file in files)
        {
            Outcome<ReadingLog> log = ReadingsReader.Read(Disk.Input(file), plan);
            talk.Say(log.Notices);
            if (!log.IsUsable) problems.AddRange(log.Problems);
            else if (seen.TryGetValue(log.Value.Sha256, out string? same))
            {
                talk.Say($"notice: {file} is the same file as {same}; it is counted once.");
            }
            else
            {
                seen[log.Value.Sha256] = file;
                readings.AddRange(log.Value.Readings);
            }
        }
        if (problems.Count > 0) throw new RefusedException(problems);
        return (plan, ofFiles(readings));
    }

    /// <summary>The stage asked for, or null; a stage that the plan does not have is refused.</summary>
    public static string? Stage(ParseResult parse, FitPlan plan)
    {
        if (parse.GetValue(CommonOptions.Stage) is not string stage) return null;
        return plan.FindStage(stage) is not null ? stage
            : throw new RefusedException(plan.Stages.Count == 0 ? $"the plan names no stages; leave --stage out." : $"the plan has no stage '{stage}'. Stages: {string.Join(", ", plan.Stages.Select(s => s.Name))}.");
    }

    /// <summary>The characteristic asked for, or null.</summary>
    public static Characteristic? CharacteristicOf(string? code) => code is null ? null
        : Characteristic.Find(code) ?? throw new RefusedException($"there is no characteristic '{code}'. Known: {string.Join(", ", Characteristic.All.Select(c => c.Code))}.");

    /// <summary>The door asked for, or null.</summary>
    public static string? Door(string? code, FitPlan plan) => code is null || plan.FindDoor(code) is not null ? code
        : throw new RefusedException($"the plan has no door '{code}'. Doors: {string.Join(", ", plan.Doors.Select(d => d.Code))}.");
}
