using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>The files of a plan as handed in, and everything found wrong with them so far.</summary>
internal sealed class PlanFolder
{
    /// <summary>The files of a fit plan, in the order in which they are read and in which problems are told.</summary>
    public static IReadOnlyList<string> FileNames { get; } =
        ["plan.json", "stations.csv", "limits.csv", "seals.csv", "seal-curves.csv", "channels.csv", "adjusters.csv", "datums.csv", "skin.csv", "gauges.csv", "builds.csv"];

    private static readonly string[] _required = ["plan.json", "stations.csv", "limits.csv"];

    private readonly Dictionary<string, InputFile> _files = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Sorts the files by the last segment of their names; files that are not of a plan are left alone.</summary>
    public PlanFolder(IReadOnlyList<InputFile> files)
    {
        foreach (InputFile file in files)
        {
            string name = LastSegment(file.Name);
            if (!FileNames.Contains(name, StringComparer.OrdinalIgnoreCase)) continue;
            if (!_files.TryAdd(name, file))
                Problems.Add(new(file.Name, 0, "", _files[name].Name, $"one {name.ToLowerInvariant()} in a plan", "Give one of the two files only."));
        }
        foreach (InputFile file in files) NoticeNearMiss(file.Name);
        string folder = files.Select(f => f.Name[..^LastSegment(f.Name).Length]).FirstOrDefault("");
        foreach (string missing in _required.Where(r => !_files.ContainsKey(r)))
        {
            string? near = NearestName.Among(missing, files.Select(f => LastSegment(f.Name)).Where(n => !FileNames.Contains(n, StringComparer.OrdinalIgnoreCase)));
            Problems.Add(new(folder + missing, 0, "", "", "a file of this name in the plan's folder",
                near is null ? $"Every fit plan has {string.Join(", ", _required)}; add the file, or point at the right folder." : $"Rename {near} if that is it."));
        }
    }

    /// <summary>What keeps the plan from being used.</summary>
    public List<InputProblem> Problems { get; } = [];

    /// <summary>What the user should know although nothing is wrong.</summary>
    public List<string> Notices { get; } = [];

    /// <summary>The file of that name, or null.</summary>
    public InputFile? Find(string name) => _files.GetValueOrDefault(name);

    /// <summary>The problems by file in reading order, then by line. A slip that is the same on many lines of a file is told once, with those lines.</summary>
    public IReadOnlyList<InputProblem> ProblemsInOrder() => RepeatedProblems.Joined(
        Problems.OrderBy(p => FileNames.TakeWhile(n => !n.Equals(LastSegment(p.Source), StringComparison.OrdinalIgnoreCase)).Count()).ThenBy(p => p.Line));

    private void NoticeNearMiss(string path)
    {
        string name = LastSegment(path);
        if (FileNames.Contains(name, StringComparer.OrdinalIgnoreCase)) return;
        string? near = NearestName.Among(name, FileNames.Where(n => !_files.ContainsKey(n) && !_required.Contains(n)));
        if (near is not null && name.EndsWith(near[near.LastIndexOf('.')..], StringComparison.OrdinalIgnoreCase))
            Notices.Add($"{path}: not a file of a fit plan, so it was not read; if {near} is meant, rename it.");
    }

    private static string LastSegment(string path) => path[(path.LastIndexOfAny(['/', '\\']) + 1)..];
}
