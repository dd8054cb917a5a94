using System.CommandLine;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Scans;
using GapFlush.Sections;
using GapFlush.Workflows;

namespace GapFlush.Cli.Running;

/// <summary>The scans of a call: which file is of which door, how each is to be laid on the plan, and their sections.</summary>
internal static class ScanLoading
{
    private static readonly string[] Units = ["mm", "in", "m"];

    /// <summary>Scans, a door each.</summary>
    public static Option<string[]> Scans { get; } = new("--scan") { Description = "A scan of a door (PLY, STL, E57, or delimited text with x, y, z); may be given for several doors.", HelpName = "DOOR=F", AllowMultipleArgumentsPerToken = true };

    /// <summary>Targets, a door each.</summary>
    public static Option<string[]> Targets { get; } = new("--targets")
    {
        Description = "Targets (datum,x,y,z) in the axes of the door's scan, to register it by. Without them a scan is laid on the plan by its seam.",
        HelpName = "DOOR=F",
        AllowMultipleArgumentsPerToken = true,
    };

    /// <summary>Doors whose scan lies in the plan's axes.</summary>
    public static Option<string[]> Aligned { get; } = new("--aligned") { Description = "The scan of this door is in the plan's axes already; nothing is moved.", HelpName = "DOOR", AllowMultipleArgumentsPerToken = true };

    /// <summary>Units of scans.</summary>
    public static Option<string[]> Unit { get; } = new("--unit") { Description = "Unit of all scans (mm, the usual; in or m), or of the scan of one door.", HelpName = "U|DOOR=U", AllowMultipleArgumentsPerToken = true };

    /// <summary>The options, in the order of the help.</summary>
    public static IReadOnlyList<Option> All { get; } = [Scans, Targets, Aligned, Unit];

    /// <summary>What was asked for, a door each; every problem of the call at once.</summary>
    /// <exception cref="RefusedException">A door that the plan does not have, a door given twice, targets or a unit without a scan, or a file that is not there.</exception>
    public static IReadOnlyList<(Door Door, InputFile File, ScanRequest Request)> Asked(ParseResult parse, FitPlan plan, Talk talk, string build, IReadOnlyList<ReadingLog> logs)
    {
        List<InputProblem> problems = [];
        Dictionary<string, string> scans = Pairs(parse, Scans, plan, problems), targets = Pairs(parse, Targets, plan, problems);
        HashSet<string> aligned = [];
        foreach (string door in parse.GetValue(Aligned) ?? [])
            if (IsDoor(plan, "--aligned", door, problems)) aligned.Add(door);
        Dictionary<string, double> units = Sizes(parse, plan, problems);
        foreach ((string option, string door) in targets.Keys.Select(d => ("--targets", d)).Concat(aligned.Select(d => ("--aligned", d))).Concat(units.Keys.Where(d => d.Length > 0).Select(d => ("--unit", d))))
            if (!scans.ContainsKey(door)) problems.Add(new(option, 0, "", door, "a door with a scan", $"Give --scan {door}=FILE too, or leave this out."));
        foreach (string door in aligned.Where(targets.ContainsKey))
            problems.Add(new("--aligned", 0, "", door, "either targets or a scan that lies in the plan's axes", $"--targets {door}=... registers the scan and --aligned says that nothing is to be moved; give one of them."));
        List<(Door, InputFile, ScanRequest)> asked = [];
        foreach (Door door in plan.Doors.Where(d => scans.ContainsKey(d.Code)))
        {
            if (ScannedDoors.StageOf(plan, door, build, parse.GetValue(CommonOptions.Stage), logs, out string? stage) is InputProblem problem) problems.Add(problem);
            ScanTargets? by = null;
            if (targets.TryGetValue(door.Code, out string? path))
            {
                Outcome<ScanTargets> read = TargetsReader.Read(Disk.Input(path), plan);
                problems.AddRange(read.Problems);
                talk.Say(read.Notices);
                by = read.IsUsable ? read.Value : null;
            }
            asked.Add((door, talk.Watch(Disk.Input(scans[door.Code])), new()
            {
                Aligned = aligned.Contains(door.Code),
                Targets = by,
                UnitMm = units.TryGetValue(door.Code, out double own) ? own : units.TryGetValue("", out double all) ? all : null,
                Stage = stage,
                Options = new() { Scanner = SectionOptions.ScannerOf(plan), Progress = talk.Progress },
            }));
        }
        if (problems.Count > 0) throw new RefusedException([.. problems.Distinct()]);
        return asked;
    }

    /// <summary>The scans of the call, sectioned; every problem of every scan told at once.</summary>
    /// <exception cref="RefusedException">One of them cannot be used.</exception>
    public static IReadOnlyList<DoorScan> Sections(ParseResult parse, FitPlan plan, Talk talk, string build, IReadOnlyList<ReadingLog> logs)
    {
        List<Outcome<DoorScan>> outcomes = [.. Asked(parse, plan, talk, build, logs).Select(a => ScanSectioning.Run(plan, a.Door, a.File, a.Request))];
        talk.EndProgress();
        List<InputProblem> problems = [.. outcomes.SelectMany(o => o.Problems)];
        if (problems.Count > 0) throw new RefusedException(problems);
        return [.. outcomes.Select(o => o.Use(talk))];
    }

    /// <summary>Millimetres in a unit.</summary>
    public static double? SizeOf(string? unit) => unit switch { "mm" => 1, "in" => 25.4, "m" => 1000, _ => null };

    private static Dictionary<string, string> Pairs(ParseResult parse, Option<string[]> option, FitPlan plan, List<InputProblem> problems)
    {
        Dictionary<string, string> pairs = [];
        foreach (string given in parse.GetValue(option) ?? [])
        {
            int at = given.IndexOf('=', StringComparison.Ordinal);
            if (at <= 0 || at == given.Length - 1)
            {
                problems.Add(new(option.Name, 0, "", given, "a door and a file, as DOOR=FILE", $"Write it as {option.Name} {plan.Doors[0].Code}=FILE."));
                continue;
            }
            string door = given[..at];
            if (!IsDoor(plan, option.Name, door, problems)) continue;
            if (!pairs.TryAdd(door, given[(at + 1)..])) problems.Add(new(option.Name, 0, "", given, $"one file for door {door}", $"{option.Name} {door}={pairs[door]} was given already; take one of them out."));
        }
        return pairs;
    }

    private static Dictionary<string, double> Sizes(ParseResult parse, FitPlan plan, List<InputProblem> problems)
    {
        Dictionary<string, double> sizes = [];
        foreach (string given in parse.GetValue(Unit) ?? [])
        {
            int at = given.IndexOf('=', StringComparison.Ordinal);
            (string door, string unit) = at < 0 ? ("", given) : (given[..at], given[(at + 1)..]);
            if (door.Length > 0 && !IsDoor(plan, "--unit", door, problems)) continue;
            if (SizeOf(unit) is not double mm) problems.Add(new("--unit", 0, "", given, $"one of {string.Join(", ", Units)}, or DOOR=UNIT", "Name the unit that the scan is in."));
            else if (!sizes.TryAdd(door, mm)) problems.Add(new("--unit", 0, "", given, "one unit for a scan", "Take one of them out."));
        }
        return sizes;
    }

    private static bool IsDoor(FitPlan plan, string option, string code, List<InputProblem> problems)
    {
        if (plan.FindDoor(code) is not null) return true;
        problems.Add(new(option, 0, "", code, "a door of the plan", NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])));
        return false;
    }
}
