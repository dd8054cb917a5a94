namespace GapFlush.Doubts;

/// <summary>The turns of phrase that the doubts share.</summary>
internal static class Words
{
    /// <summary>"station 7", "stations 7, 9 and 12", or "stations 7 to 11" where they follow one another in the order given.</summary>
    public static string Stations(IReadOnlyList<string> names, IReadOnlyList<string> order)
    {
        List<string> parts = [];
        for (int i = 0; i < names.Count;)
        {
            int j = i;
            while (j + 1 < names.Count && Place(names[j + 1]) == Place(names[j]) + 1) j++;
            parts.Add(j - i >= 2 ? $"{names[i]} to {names[j]}" : names[i]);
            i = j - i >= 2 ? j + 1 : i + 1;
        }
        return (names.Count == 1 ? "station " : "stations ") + List(parts);

        int Place(string name)
        {
            for (int k = 0; k < order.Count; k++)
            {
                if (order[k] == name) return k;
            }
            return -2;
        }
    }

    /// <summary>"a", "a and b", "a, b and c".</summary>
    public static string List(IReadOnlyList<string> parts) => parts.Count < 2 ? string.Concat(parts) : $"{string.Join(", ", parts.Take(parts.Count - 1))} and {parts[^1]}";

    /// <summary>A length in mm, two decimals.</summary>
    public static string Mm(double value) => Invariant($"{value:0.00} mm");

    /// <summary>A length in mm with its sign, two decimals.</summary>
    public static string Signed(double value) => value < 0 ? Invariant($"-{-value:0.00} mm") : Invariant($"+{value:0.00} mm");

    /// <summary>"1 reading", "5 readings".</summary>
    public static string Count(int count, string noun) => Invariant($"{count} {noun}{(count == 1 ? "" : "s")}");

    /// <summary>" at stage x", or "" where there is none.</summary>
    public static string AtStage(string? stage) => stage is null ? "" : $" at stage {stage}";
}
