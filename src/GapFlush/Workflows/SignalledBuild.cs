namespace GapFlush.Workflows;

/// <summary>A build at which several charts of one door begin to signal: most often one cause, told once.</summary>
/// <param name="Door">Door code.</param>
/// <param name="Build">Serial.</param>
/// <param name="Lines">The lines with a signal that begins there, in the order of the study.</param>
/// <param name="Charted">Of each characteristic among them how many places are charted with that build.</param>
public sealed record SignalledBuild(string Door, string Build, IReadOnlyList<TrendLine> Lines, IReadOnlyDictionary<Plan.Characteristic, int> Charted)
{
    /// <summary>Fewer places than this are likely chance, one by one.</summary>
    public const int LeastPlaces = 3;

    /// <summary>How many places of which characteristic, as a phrase: what was read; only where nothing read signals, what follows from it.</summary>
    public string Words
    {
        get
        {
            IGrouping<Plan.Characteristic, TrendLine>[] all = [.. Lines.GroupBy(l => l.Series.Key.Characteristic).OrderByDescending(g => g.Count())], read = [.. all.Where(g => g.Key.IsRead)];
            return string.Join(", ", (read.Length > 0 ? read : all).Select(g => Charted[g.Key] == 1 ? g.Key.Words : Invariant($"{g.Key.Words} at {g.Count()} of {Charted[g.Key]} places")));
        }
    }

    /// <summary>True where nearly every place of something read signals: a doubt of the sheet or gauge before one of the door.</summary>
    public bool IsWholeDoor => Lines.GroupBy(l => l.Series.Key.Characteristic).Any(g => g.Key.IsRead && Charted[g.Key] > LeastPlaces && g.Count() >= 0.8 * Charted[g.Key]);

    /// <summary>Finds them, those with most places of what was read first.</summary>
    internal static SignalledBuild[] Of(IReadOnlyList<TrendLine> lines)
    {
        Dictionary<(string Door, string Build), HashSet<TrendLine>> begins = [];
        foreach (TrendLine line in lines)
        {
            foreach (int point in line.Signals.SelectMany(s => s.Points.Where(p => !s.Points.Contains(p - 1))))
            {
                (string, string) key = (line.Series.Key.Door, line.Series.Builds[point - 1]);
                if (!begins.TryGetValue(key, out HashSet<TrendLine>? there)) begins[key] = there = [];
                there.Add(line);
            }
        }
        return [.. begins.Where(b => b.Value.Count >= LeastPlaces).OrderByDescending(b => b.Value.Count(l => l.Series.Key.Characteristic.IsRead)).ThenByDescending(b => b.Value.Count).ThenBy(b => b.Key.Door, StringComparer.Ordinal).ThenBy(b => b.Key.Build, StringComparer.Ordinal)
            .Select(b => new SignalledBuild(b.Key.Door, b.Key.Build, [.. lines.Where(b.Value.Contains)],
                b.Value.Select(l => l.Series.Key.Characteristic).Distinct().ToDictionary(c => c, c => lines.Count(l => l.Trend is not null && l.Series.Key.Door == b.Key.Door && l.Series.Key.Characteristic == c && l.Series.Builds.Contains(b.Key.Build)))))];
    }
}
