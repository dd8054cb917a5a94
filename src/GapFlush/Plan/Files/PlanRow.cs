using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>One row of a table of the plan. What it asks for and does not find is added to the problems.</summary>
internal sealed class PlanRow(DelimitedRow row, ICollection<InputProblem> problems)
{
    /// <summary>Line in the file, from 1.</summary>
    public int Line => row.Line;

    /// <summary>False once something of this row has been refused.</summary>
    public bool IsSound { get; private set; } = true;

    /// <summary>The text of a column, or null where it is blank.</summary>
    public string? Text(string column) => row.Text(column);

    /// <summary>The text of a column that must not be blank.</summary>
    public string Required(string column)
    {
        if (row.Text(column) is string text) return text;
        Refuse(column, "a value", "Fill it in; this column must not be blank.");
        return "";
    }

    /// <summary>A number, or null where the field is blank.</summary>
    public double? Number(string column, NumberRange range)
    {
        if (row.Text(column) is null) return null;
        int before = problems.Count;
        double? value = row.Number(column, problems);
        if (problems.Count > before) IsSound = false;
        if (value is double v && !range.Holds(v)) Refuse(column, range.Expected, range.Remedy);
        return value;
    }

    /// <summary>A number that must be there.</summary>
    public double RequiredNumber(string column, NumberRange range)
    {
        if (row.Text(column) is not null) return Number(column, range) ?? 0;
        Refuse(column, "a number", "Fill it in; this column must not be blank.");
        return 0;
    }

    /// <summary>A whole number, or null where the field is blank.</summary>
    public int? WholeNumber(string column)
    {
        int before = problems.Count;
        int? value = row.WholeNumber(column, problems);
        if (problems.Count > before) IsSound = false;
        return value;
    }

    /// <summary>A day, written as ISO 8601 has it, or null where the field is blank.</summary>
    public DateOnly? Date(string column)
    {
        if (row.Text(column) is not string text) return null;
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day)) return day;
        Refuse(column, "a date such as 2026-03-31", "Write year, month and day with hyphens (ISO 8601).");
        return null;
    }

    /// <summary>One of some words, or null where the field is blank.</summary>
    public T? Word<T>(string column, IReadOnlyDictionary<string, T> words) where T : struct
    {
        if (row.Text(column) is not string text) return null;
        if (words.TryGetValue(text, out T value)) return value;
        Refuse(column, OneOf(words.Keys), NearestName.Remedy(text, [.. words.Keys]));
        return null;
    }

    /// <summary>A place from columns x, y and z.</summary>
    public Point3 Place() => new(RequiredNumber("x", NumberRange.CoordinateMm), RequiredNumber("y", NumberRange.CoordinateMm), RequiredNumber("z", NumberRange.CoordinateMm));

    /// <summary>A unit vector from three columns: a letter followed by x, y and z.</summary>
    public Vector3 UnitVector(string letter)
    {
        int before = problems.Count;
        Vector3 v = new(RequiredNumber(letter + "x", NumberRange.Any), RequiredNumber(letter + "y", NumberRange.Any), RequiredNumber(letter + "z", NumberRange.Any));
        if (problems.Count > before) return v;
        if (UnitVectors.Exact(v) is Vector3 exact) return exact;
        Refuse($"{letter}x,{letter}y,{letter}z", UnitVectors.Expected, UnitVectors.Remedy(v), UnitVectors.Found(v));
        return v;
    }

    /// <summary>Notes a problem with a column of this row.</summary>
    /// <param name="column">The column.</param>
    /// <param name="expected">What was expected, as a noun phrase.</param>
    /// <param name="remedy">How to mend it, as a sentence.</param>
    /// <param name="found">What stands there; the field itself where nothing is given.</param>
    public void Refuse(string column, string expected, string remedy, string? found = null)
    {
        IsSound = false;
        InputProblem problem = row.Problem(column, expected, remedy);
        problems.Add(found is null ? problem : problem with { Found = found });
    }

    /// <summary>A list of words as an expectation.</summary>
    public static string OneOf(IEnumerable<string> words)
    {
        string[] all = [.. words];
        return all.Length == 1 ? all[0] : $"{string.Join(", ", all[..^1])} or {all[^1]}";
    }
}
