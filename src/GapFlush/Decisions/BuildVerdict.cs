namespace GapFlush.Decisions;

/// <summary>The verdict of one aircraft over all its doors.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Doors">The doors judged, in the order of the plan.</param>
/// <param name="NotInspected">Doors of the plan of which there is nothing at all.</param>
public sealed record BuildVerdict(string Build, IReadOnlyList<DoorResult> Doors, IReadOnlyList<string> NotInspected)
{
    /// <summary>All rows of all doors, by verdict.</summary>
    public VerdictCounts Counts => Doors.Aggregate(new VerdictCounts(0, 0, 0, 0), (sum, d) => sum + d.Counts);

    /// <summary>Not judged where a door is not judged or not inspected, else the worst of the doors.</summary>
    public FitVerdict Verdict => NotInspected.Count > 0 || Doors.Count == 0 ? FitVerdict.NotJudged : Doors.Max(d => d.Verdict);

    /// <summary>True where every door was inspected, is within, and nothing in the data is doubted.</summary>
    public bool IsClear => Verdict == FitVerdict.Within && Doors.All(d => d.Data.IsSound);

    /// <summary>The verdict in one line, the worst doors named.</summary>
    public string Words
    {
        get
        {
            List<string> parts = [.. Doors.Where(d => d.Verdict == Verdict && Verdict != FitVerdict.Within).Select(d => $"{d.Door.Code} {d.Words}")];
            parts.AddRange(NotInspected.Select(d => $"{d} not inspected"));
            string verdict = Verdict switch
            {
                FitVerdict.Within => "within",
                FitVerdict.Undecided => "undecided",
                FitVerdict.Outside => "outside",
                _ => "not judged",
            };
            return parts.Count == 0 ? $"{verdict}: {Counts.Within} values within on {Doors.Count} doors" : $"{verdict}: {string.Join("; ", parts)}";
        }
    }
}
