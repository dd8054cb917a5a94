namespace GapFlush.Cli.Running;

/// <summary>A table for the terminal: columns as wide as what stands in them, numbers to the right.</summary>
internal static class TextTable
{
    /// <summary>The lines, title row first. A title that starts with '>' marks a column set to the right.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<string> titles, IReadOnlyList<IReadOnlyList<string>> rows)
    {
        bool[] right = [.. titles.Select(t => t.StartsWith('>'))];
        string[] heads = [.. titles.Select(t => t.TrimStart('>'))];
        int[] widths = [.. heads.Select((h, i) => Math.Max(h.Length, rows.Count == 0 ? 0 : rows.Max(r => r[i].Length)))];
        foreach (IReadOnlyList<string> row in rows.Prepend(heads))
            yield return string.Join("  ", row.Select((cell, i) => right[i] ? cell.PadLeft(widths[i]) : cell.PadRight(widths[i]))).TrimEnd();
    }

    /// <summary>A number with so many decimals, or a dash where there is none.</summary>
    public static string Figure(double? value, int decimals) => value is double v && double.IsFinite(v) ? v.ToString("F" + decimals) : "-";
}
