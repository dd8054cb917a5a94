using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Which builds of which two revisions are compared, and which are left out.</summary>
/// <param name="IsDoor">True for the door mould, false for that of the surround.</param>
/// <param name="From">Earlier revision.</param>
/// <param name="To">Later revision.</param>
/// <param name="FromBuilds">Builds of the earlier one.</param>
/// <param name="ToBuilds">Builds of the later one.</param>
/// <param name="Used">What the build list says of them.</param>
/// <param name="Excluded">Builds left out, with the reason.</param>
internal sealed record RevisionBuilds(bool IsDoor, string From, string To, string[] FromBuilds, string[] ToBuilds, IReadOnlyDictionary<string, BuildEntry> Used, IReadOnlyList<ExcludedBuild> Excluded)
{
    /// <summary>Chooses them; refused where there are no two revisions with two builds each.</summary>
    /// <param name="plan">The plan; its build list says which revision made what.</param>
    /// <param name="door">The door.</param>
    /// <param name="from">Earlier revision; null for the one before <paramref name="to"/>.</param>
    /// <param name="to">Later revision; null for the newest.</param>
    /// <param name="stage">The stage, for the reasons.</param>
    /// <param name="measured">Builds with gap or flush of the door.</param>
    /// <param name="leftOut">What was left out before, to be listed with the rest.</param>
    public static Outcome<RevisionBuilds> Choose(FitPlan plan, string door, string? from, string? to, string? stage, HashSet<string> measured, IReadOnlyList<ExcludedBuild> leftOut)
    {
        if (plan.Builds.Count == 0) return Refused("builds.csv", "", "the list of builds with their mould revisions", "Add builds.csv to the plan; without it nobody knows which revision made what.");
        BuildEntry[] entries = [.. plan.Builds.Where(b => b.Door == door).OrderBy(b => b.Sequence)];
        string[] doorMoulds = [.. entries.Select(e => e.DoorMould).OfType<string>().Distinct()], surroundMoulds = [.. entries.Select(e => e.SurroundMould).OfType<string>().Distinct()];
        bool Names(string[] moulds) => (from is null || moulds.Contains(from)) && (to is null || moulds.Contains(to));
        bool isDoor = doorMoulds.Length > 1 && Names(doorMoulds) || !(surroundMoulds.Length > 1 && Names(surroundMoulds));
        string[] revisions = isDoor ? doorMoulds : surroundMoulds;
        if (!Names(revisions)) return Refused(from is not null && !revisions.Contains(from) ? "--from" : "--to", (from is not null && !revisions.Contains(from) ? from : to)!, "a mould revision of that door", $"Revisions: door mould {Listed(doorMoulds)}; surround mould {Listed(surroundMoulds)}.");
        if (revisions.Length < 2) return Refused("builds.csv", Listed(revisions), $"two mould revisions or more of {door}", $"Door mould: {Listed(doorMoulds)}; surround mould: {Listed(surroundMoulds)}. Nothing changed that could be compared.");
        to ??= revisions.Last(r => r != from);
        from ??= revisions[Math.Max(0, Array.IndexOf(revisions, to) - 1)];
        if (from == to) return Refused("--to", to, "a revision other than --from", "Give two different revisions.");

        string? Mould(BuildEntry e) => isDoor ? e.DoorMould : e.SurroundMould;
        string? Other(BuildEntry e) => isDoor ? e.SurroundMould : e.DoorMould;
        List<ExcludedBuild> excluded = [];
        HashSet<string> doubted = [.. leftOut.Select(x => x.Build)];
        BuildEntry[] candidates = [.. entries.Where(e => (Mould(e) == from || Mould(e) == to) && measured.Contains(e.Build))];
        // The other part must be of one revision, or its change would be laid to this one: the revision that both sides have most builds of.
        string? common = candidates.GroupBy(Other).OrderByDescending(g => Math.Min(g.Count(e => Mould(e) == from), g.Count(e => Mould(e) == to))).ThenByDescending(g => g.Count()).FirstOrDefault()?.Key;
        Dictionary<string, BuildEntry> used = [];
        foreach (BuildEntry e in entries)
        {
            if (Mould(e) != from && Mould(e) != to) excluded.Add(new(e.Build, $"{(isDoor ? "door" : "surround")} mould {Mould(e) ?? "not known"}"));
            else if (!measured.Contains(e.Build) && doubted.Contains(e.Build)) continue;   // told below, with the doubt
            else if (!measured.Contains(e.Build)) excluded.Add(new(e.Build, stage is null ? "no gap or flush of this door" : $"no gap or flush of this door at stage {stage}"));
            else if (Other(e) != common) excluded.Add(new(e.Build, $"{(isDoor ? "surround" : "door")} mould {Other(e) ?? "not known"} instead of {common ?? "not known"}"));
            else used[e.Build] = e;
        }
        excluded.AddRange(measured.Where(b => entries.All(e => e.Build != b)).Select(b => new ExcludedBuild(b, "not in builds.csv")));
        excluded.AddRange(leftOut.Where(x => used.ContainsKey(x.Build) || entries.Any(e => e.Build == x.Build && (Mould(e) == from || Mould(e) == to)) || entries.All(e => e.Build != x.Build)));
        string[] fromBuilds = [.. used.Values.Where(e => Mould(e) == from).Select(e => e.Build)], toBuilds = [.. used.Values.Where(e => Mould(e) == to).Select(e => e.Build)];
        if (fromBuilds.Length >= 2 && toBuilds.Length >= 2) return Outcome<RevisionBuilds>.Of(new(isDoor, from, to, fromBuilds, toBuilds, used, excluded));
        // One build has no scatter of its own to hold a difference against: say what was there of each revision, and what else could be compared.
        string[] enough = [.. revisions.Select(r => (Revision: r, Count: entries.Count(e => Mould(e) == r && measured.Contains(e.Build)))).Where(r => r.Count >= 2).Select(r => Invariant($"{r.Revision} ({r.Count} builds)"))];
        return Refused("--readings", $"{Counted(fromBuilds, from)} and {Counted(toBuilds, to)}", "two measured builds or more of each revision, for one build alone shows no scatter",
            "Give the readings of more builds" + (enough.Length >= 2 ? $", or name two of {string.Join(", ", enough)} with --from and --to." : ".")
            + (excluded.Count > 0 ? $" Left out: {string.Join("; ", excluded.Take(6).Select(x => $"{x.Build} ({x.Reason})"))}{(excluded.Count > 6 ? Invariant($"; and {excluded.Count - 6} more") : "")}." : ""));
    }

    private static string Counted(string[] builds, string revision) => builds.Length == 1 ? $"1 build of {revision} ({builds[0]})" : Invariant($"{builds.Length} builds of {revision}");

    private static string Listed(string[] names) => names.Length == 0 ? "none" : string.Join(", ", names);

    private static Outcome<RevisionBuilds> Refused(string option, string found, string expected, string remedy) =>
        Outcome<RevisionBuilds>.Refused([new InputProblem(option, 0, "", found, expected, remedy)]);
}
