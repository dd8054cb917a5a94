namespace GapFlush.Inputs;

/// <summary>Finds which known name somebody probably meant.</summary>
public static class NearestName
{
    /// <summary>The known name nearest to the given one, or null where none is near.</summary>
    /// <remarks>Method: least number of letters put in, left out, changed or swapped with a neighbour (optimal string alignment), letter case ignored; near is up
    /// to one third of the longer name's letters, so that station 41 is not taken for 01. The first of equally near names wins.</remarks>
    public static string? Among(string given, IEnumerable<string> known)
    {
        string? best = null;
        int least = int.MaxValue;
        foreach (string name in known)
        {
            int distance = Distance(given.ToUpperInvariant(), name.ToUpperInvariant());
            if (distance < least && distance <= Math.Max(given.Length, name.Length) / 3) (best, least) = (name, distance);
        }
        return best;
    }

    /// <summary>A remedy in one or two sentences: the nearest name if one is near, else the known names, shortened where they are many.</summary>
    /// <param name="given">What stands in the file.</param>
    /// <param name="known">The names there are.</param>
    /// <param name="otherwise">What else may be done, as a sentence, or "".</param>
    public static string Remedy(string given, IReadOnlyCollection<string> known, string otherwise = "")
    {
        const int few = 12;
        string first = known.Count == 0 ? "There are none."
            : Among(given, known) is string near ? $"Did you mean '{near}'?"
            : known.Count <= few ? $"Known: {string.Join(", ", known)}."
            : Invariant($"Known: {string.Join(", ", known.Take(few))} and {known.Count - few} more.");
        return otherwise.Length > 0 ? $"{first} {otherwise}" : first;
    }

    private static int Distance(string a, string b)
    {
        int[] before = new int[b.Length + 1], last = new int[b.Length + 1], row = new int[b.Length + 1];
        for (int j = 0; j <= b.Length; j++) last[j] = j;
        for (int i = 1; i <= a.Length; i++)
        {
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
            {
                row[j] = Math.Min(Math.Min(row[j - 1], last[j]) + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = Math.Min(row[j], before[j - 2] + 1);
            }
            (before, last, row) = (last, row, before);
        }
        return last[b.Length];
    }
}
