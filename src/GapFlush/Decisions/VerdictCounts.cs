namespace GapFlush.Decisions;

/// <summary>How many judged values have which verdict.</summary>
/// <param name="Within">Within their limits.</param>
/// <param name="Undecided">Neither proven within nor outside.</param>
/// <param name="Outside">Outside.</param>
/// <param name="Missing">Limited, but without a value.</param>
public sealed record VerdictCounts(int Within, int Undecided, int Outside, int Missing)
{
    /// <summary>All of them.</summary>
    public int Total => Within + Undecided + Outside + Missing;

    /// <summary>The verdict of a whole from the verdicts of its parts.</summary>
    public FitVerdict Verdict => Missing > 0 || Total == 0 ? FitVerdict.NotJudged : Outside > 0 ? FitVerdict.Outside : Undecided > 0 ? FitVerdict.Undecided : FitVerdict.Within;

    /// <summary>Counts rows; those without limits are passed over.</summary>
    public static VerdictCounts Of(IEnumerable<ResultRow> rows)
    {
        int[] counts = new int[4];
        foreach (ResultRow row in rows)
            if (row.Verdict is Verdict verdict) counts[(int)verdict]++;
        return new(counts[(int)Decisions.Verdict.Within], counts[(int)Decisions.Verdict.Undecided], counts[(int)Decisions.Verdict.Outside], counts[(int)Decisions.Verdict.Missing]);
    }

    /// <summary>Sum of the counts.</summary>
    public static VerdictCounts operator +(VerdictCounts a, VerdictCounts b) =>
        new(a.Within + b.Within, a.Undecided + b.Undecided, a.Outside + b.Outside, a.Missing + b.Missing);

    /// <summary>The verdict with its counts, as a sentence without full stop: "outside: 2 outside, 1 undecided, 130 within".</summary>
    public string Words
    {
        get
        {
            List<string> parts = [];
            if (Outside > 0) parts.Add($"{Outside} outside");
            if (Missing > 0) parts.Add($"{Missing} missing");
            if (Undecided > 0) parts.Add($"{Undecided} undecided");
            if (Within > 0) parts.Add($"{Within} within");
            string verdict = Verdict switch
            {
                FitVerdict.Within => "within",
                FitVerdict.Undecided => "undecided",
                FitVerdict.Outside => "outside",
                _ => "not judged",
            };
            return Total == 0 ? "not judged: nothing is limited" : $"{verdict}: {string.Join(", ", parts)}";
        }
    }
}
