using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>What builds that are compared lack of what is compared: a comparison on fewer builds than its answer names must say so.</summary>
internal static class RevisionGaps
{
    private const int MostNamed = 6;

    /// <summary>A sentence for each thing that is missing; empty where every build has everything.</summary>
    /// <param name="plan">The plan; what it does not limit is not compared, save gap and flush.</param>
    /// <param name="door">The door.</param>
    /// <param name="stage">The stage.</param>
    /// <param name="measurements">All measurements.</param>
    /// <param name="builds">The builds compared.</param>
    /// <param name="split">Builds whose position, size and shape could be taken apart.</param>
    public static IReadOnlyList<string> Of(FitPlan plan, Door door, string? stage, IReadOnlyList<Measurement> measurements, RevisionBuilds builds, HashSet<string> split)
    {
        string[] used = [.. builds.FromBuilds, .. builds.ToBuilds];
        HashSet<Characteristic> limited = ManyBuilds.Limited(plan);
        ILookup<(string, Characteristic), Measurement> found = measurements.Where(m => m.Door == door.Code && m.Stage == stage && m.Value is not null).ToLookup(m => (m.Build, m.Characteristic));
        string[] Without(Characteristic c) => [.. used.Where(b => !found[(b, c)].Any())];
        List<string> words = [];
        foreach (Characteristic c in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            string[] none = Without(c);
            Add(c.Words, none, "none was read");
            var some = used.Except(none).Select(b => (Build: b, Read: found[(b, c)].Select(m => m.Station).Distinct().Count())).Where(b => b.Read < door.Stations.Count).ToArray();
            if (some.Length > 0)
                words.Add(Invariant($"{Capital(c.Words)} is missing at some stations, not read or left out: {Few([.. some.Select(b => Invariant($"{b.Build} lacks {door.Stations.Count - b.Read} of {door.Stations.Count}"))])}. Those stations are compared without these builds."));
        }
        string[] unsplit = [.. used.Where(b => !split.Contains(b))];
        Add("position, size and shape", unsplit, "gap and flush were read at too few stations");
        if (door.Stations.Any(s => plan.SealOf(door.Code, s.Zone) is not null))
        {
            if (limited.Contains(Characteristic.Compression)) Add(Characteristic.Compression.Words, Without(Characteristic.Compression), "no land_gap was read; what is predicted is not compared");
            if (limited.Contains(Characteristic.ClosingLoad)) Add(Characteristic.ClosingLoad.Words, Without(Characteristic.ClosingLoad), "less than half of the land gaps were read, or data of the seal are missing");
        }
        foreach (Characteristic c in (Characteristic[])[Characteristic.GapRange, Characteristic.GapTaper, Characteristic.Twist])
        {
            // A build without any gap or flush has been told above.
            Characteristic read = c == Characteristic.Twist ? Characteristic.Flush : Characteristic.Gap;
            if (limited.Contains(c)) Add(c.Words, [.. Without(c).Where(b => found[(b, read)].Any())], $"{read.Words} was read at too few stations");
        }
        if (builds.IsDoor && used.Any(b => builds.Used[b].DoorPull is not null)) Add("wear", [.. used.Where(b => builds.Used[b].DoorPull is null)], "builds.csv gives no pull number");
        return words;

        void Add(string what, string[] without, string why)
        {
            if (without.Length == 0) return;
            if (without.Length == used.Length) words.Add(Invariant($"{Capital(what)} is not compared: {why} (all {used.Length} builds)."));
            else
            {
                int early = builds.FromBuilds.Except(without).Count(), late = builds.ToBuilds.Except(without).Count();
                words.Add(Invariant($"{Capital(what)} is compared without {without.Length} of {used.Length} builds ({Few(without)}): {why}. {early} of {builds.From} against {late} of {builds.To} are left{(early < 2 || late < 2 ? ", too few to compare" : "")}."));
            }
        }
    }

    private static string Capital(string words) => $"{char.ToUpperInvariant(words[0])}{words[1..]}";

    private static string Few(string[] names) => string.Join(", ", names.Take(MostNamed)) + (names.Length > MostNamed ? Invariant($" and {names.Length - MostNamed} more") : "");
}
