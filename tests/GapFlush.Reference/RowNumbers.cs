using System.Globalization;

namespace GapFlush.Reference;

/// <summary>Numbers out of a row of a reference file.</summary>
internal static class RowNumbers
{
    public static double Number(this IReadOnlyDictionary<string, string> row, string column) => double.Parse(row[column], NumberStyles.Float, CultureInfo.InvariantCulture);

    public static double? NumberOrNull(this IReadOnlyDictionary<string, string> row, string column) =>
        row.TryGetValue(column, out string? text) && double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) ? value : null;
}
