using GapFlush.Measurements;

namespace GapFlush.Store.Engines;

/// <summary>The columns of table entry, in the order in which both engines write and read them.</summary>
internal static class EntryColumns
{
    /// <summary>All columns; the hash comes last.</summary>
    public static readonly string[] All =
        ["number", "file", "line", "corrects", "build", "door", "station", "characteristic", "stage", "definition", "repeat", "value", "written_value", "written_unit", "gauge", "inspector",
            "taken_at", "temperature_c", "uncertainty", "plan_issue", "note", "hash"];

    /// <summary>The columns of a bare entry.</summary>
    public static readonly string[] Bare =
        ["number", "build", "door", "station", "characteristic", "stage", "definition", "value", "written_value", "written_unit", "gauge", "temperature_c", "uncertainty"];

    /// <summary>The command that reads entries in the order of their numbers.</summary>
    public static string Select(EntryQuery query) => Select(query, All.Take(query.WithHash ? All.Length : All.Length - 1));

    /// <summary>The command that reads bare entries in the order of their numbers.</summary>
    public static string SelectBare(EntryQuery query) => Select(query, Bare);

    /// <summary>Decimals of a value as the record writes it, with a decimal point.</summary>
    public static int Decimals(string written)
    {
        int exponentAt = written.AsSpan().IndexOfAny('e', 'E');
        ReadOnlySpan<char> digits = exponentAt < 0 ? written : written.AsSpan(0, exponentAt);
        int exponent = exponentAt >= 0 && int.TryParse(written.AsSpan(exponentAt + 1), out int e) ? Math.Clamp(e, -99, 99) : 0;
        int point = digits.IndexOf('.');
        return Math.Max(0, (point < 0 ? 0 : digits.Length - point - 1) - exponent);
    }

    /// <summary>The value of a reading; of a withdrawal it is not a number.</summary>
    public static double ValueOf(double? stored) => stored ?? double.NaN;

    private static string Select(EntryQuery query, IEnumerable<string> columns) => $"SELECT {string.Join(", ", columns)} FROM entry e {(query.Where.Length > 0 ? "WHERE " + query.Where : "")} ORDER BY number";

    /// <summary>The value to store.</summary>
    public static double? Stored(Reading reading) => double.IsNaN(reading.Value) ? null : reading.Value;
}
