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

    /// <summary>Probed points.</summary>
    public static Option<string[]> Probed { get; } = new("--probed")
    {
        Description = "Touches of an arm or tracker (build,door,station,side,feature,x,y,z, optional ball_radius, stage) in the plan's axes, or registered by --targets.",
        HelpName = "F",
        AllowMultipleArgumentsPerToken = true,
    };

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
            if (!scans.ContainsKey(door) && (option == "--unit" || parse.GetValue(Probed) is not { Length: > 0 })) problems.Add(new(option, 0, "", door, "a door with a scan", $"Give --scan {door}=FILE too, or leave this out."));
        foreach (string door in aligned.Where(targets.ContainsKey))
            problems.Add(new("--aligned", 0, "", door, "either targets or a scan that lies in the plan's axes", $"--targets {door}=... registers the scan and --aligned says that nothing is to be moved; give one of them."));
        List<(Door, InputFile, ScanRequest)> asked = [];
        foreach (Door door in plan.Doors.Where(d => scans.ContainsKey(d.Code)))
        {
            if (ScannedDoors.StageOf(plan, door, build, parse.GetValue(CommonOptions.Stage), logs, out string? stage) is InputProblem problem) problems.Add(problem);
            ScanTargets? by = TargetsOf(targets, door, plan, talk, problems);
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
        IReadOnlyList<(Door Door, InputFile File, ScanRequest Request)> asked = Asked(parse, plan, talk, build, logs);
        List<Outcome<DoorScan>> outcomes = [.. asked.Select(a => ScanSectioning.Run(plan, a.Door, a.File, a.Request)), .. Touched(parse, plan, talk, build, logs, [.. asked.Select(a => a.Door)])];
        talk.EndProgress();
        List<InputProblem> problems = [.. outcomes.SelectMany(o => o.Problems)];
        if (problems.Count > 0) throw new RefusedException(problems);
        return TellUnknownScanner([.. outcomes.Select(o => o.Use(talk))], talk);
    }

    /// <summary>Says once, however many scans there are, that nothing is known of the scanner itself where that is so.</summary>
    public static IReadOnlyList<DoorScan> TellUnknownScanner(IReadOnlyList<DoorScan> scans, Talk talk)
    {
        if (scans.Any(s => !s.ScannerIsKnown)) talk.Say([SectionOptions.UnknownScanner]);
        return scans;
    }

    /// <summary>The first aircraft that the probed points of the call are of, or null; what is wrong with the files is told by <see cref="Sections"/>.</summary>
    public static string? ProbedBuild(ParseResult parse, FitPlan plan) =>
        (parse.GetValue(Probed) ?? []).Select(f => ProbedReader.Read(Disk.Input(f), plan)).Where(r => r.IsUsable).SelectMany(r => r.Value.Builds).FirstOrDefault();

    /// <summary>Millimetres in a unit.</summary>
    public static double? SizeOf(string? unit) => unit switch { "mm" => 1, "in" => 25.4, "m" => 1000, _ => null };

    // Every door that the files of probed points have touches of, for this build.
    private static List<Outcome<DoorScan>> Touched(ParseResult parse, FitPlan plan, Talk talk, string build, IReadOnlyList<ReadingLog> logs, IReadOnlyList<Door> scanned)
    {
        List<InputProblem> problems = [];
        Dictionary<string, string> targets = Pairs(parse, Targets, plan, problems);
        List<ProbedLog> probed = [];
        foreach (string path in parse.GetValue(Probed) ?? [])
        {
            Outcome<ProbedLog> read = ProbedReader.Read(Disk.Input(path), plan);
            problems.AddRange(read.Problems);
            talk.Say(read.Notices);
            if (read.IsUsable) probed.Add(read.Value);
        }
        if (probed.Count > 0 && probed.All(p => !p.Builds.Contains(build)))
            problems.Add(new("--build", 0, "", build, "a build that the probed points are of", NearestName.Remedy(build, [.. probed.SelectMany(p => p.Builds).Distinct()])));
        List<Outcome<DoorScan>> outcomes = [];
        foreach (Door door in plan.Doors)
        {
            ProbedLog[] of = [.. probed.Where(p => p.Points.Any(t => t.Build == build && t.Door == door.Code))];
            if (of.Length == 0) continue;
            if (of.Length > 1 || scanned.Contains(door)) problems.Add(new("--probed", 0, "", of[^1].Source, $"one scan or one file of probed points for door {door.Code}", "Take one of them out."));
            if (StageOf(parse, plan, door, build, logs, of[0], out string? stage) is InputProblem problem) problems.Add(problem);
            ScanTargets? by = TargetsOf(targets, door, plan, talk, problems);
            if (problems.Count == 0) outcomes.Add(ProbedSectioning.Run(plan, door, build, of[0], new() { Stage = stage, Targets = by, Aligned = parse.GetValue(Aligned)?.Contains(door.Code) == true }));
        }
        return problems.Count > 0 ? throw new RefusedException([.. problems.Distinct()]) : outcomes;
    }

    /// <summary>The stage of probed points: the one asked for, else the only one that their rows name, else as for a scan.</summary>
    public static InputProblem? StageOf(ParseResult parse, FitPlan plan, Door door, string build, IReadOnlyList<ReadingLog> logs, ProbedLog probed, out string? stage)
    {
        string? asked = parse.GetValue(CommonOptions.Stage);
        string[] named = [.. probed.Points.Where(p => p.Build == build && p.Door == door.Code).Select(p => p.Stage).OfType<string>().Distinct()];
        return ScannedDoors.StageOf(plan, door, build, asked ?? (named.Length == 1 ? named[0] : null), logs, out stage);
    }

    private static ScanTargets? TargetsOf(Dictionary<string, string> targets, Door door, FitPlan plan, Talk talk, List<InputProblem> problems)
    {
        if (!targets.TryGetValue(door.Code, out string? path)) return null;
        Outcome<ScanTargets> read = TargetsReader.Read(Disk.Input(path), plan);
        problems.AddRange(read.Problems);
        talk.Say(read.Notices);
        return read.IsUsable ? read.Value : null;
    }

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
