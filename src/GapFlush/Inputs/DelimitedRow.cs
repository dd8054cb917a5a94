using System.Globalization;

namespace GapFlush.Inputs;

/// <summary>One row of a delimited file.</summary>
public sealed class DelimitedRow
{
    private readonly DelimitedTable _table;
    private readonly string[] _fields;

    internal DelimitedRow(DelimitedTable table, int line, string[] fields) => (_table, Line, _fields) = (table, line, fields);

    /// <summary>Line of the file on which the row starts, from 1; line breaks inside quotes are counted.</summary>
    public int Line { get; }

    /// <summary>The trimmed text of a column; "" where the field is blank or the file has no such column.</summary>
    public string this[string column] => _table.IndexOf(column) is int i and >= 0 ? _fields[i] : "";

    /// <summary>The trimmed text of a column, or null where it is blank or the file has no such column.</summary>
    public string? Text(string column) => this[column] is { Length: > 0 } text ? text : null;

    /// <summary>The trimmed text of a column that must not be blank; reports and returns null where it is.</summary>
    public string? RequiredText(string column, ICollection<InputProblem> problems)
    {
        if (Text(column) is string text) return text;
        problems.Add(Problem(column, Invariant($"a value in column {column}"), "Fill it in; this column must not be blank."));
        return null;
    }

    /// <summary>A finite number; null where the field is blank. What is not a number is reported, and null.</summary>
    public double? Number(string column, ICollection<InputProblem> problems)
    {
        if (Text(column) is not string text) return null;
        (double? value, string expected, string remedy) = NumberText.Parse(text, _table.DecimalComma);
        if (value is null) problems.Add(Problem(column, expected, remedy));
        return value;
    }

    /// <summary>A finite number that must be there; reports and returns null where it is blank or no number.</summary>
    public double? RequiredNumber(string column, ICollection<InputProblem> problems)
    {
        if (Text(column) is not null) return Number(column, problems);
        problems.Add(Problem(column, "a number", "Fill it in; this column must not be blank."));
        return null;
    }

    /// <summary>A whole number; null where the field is blank. What is not a whole number is reported, and null.</summary>
    public int? WholeNumber(string column, ICollection<InputProblem> problems)
    {
        if (Text(column) is not string text) return null;
        if (int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int value)) return value;
        problems.Add(Problem(column, "a whole number", "Write digits only, such as 3."));
        return null;
    }

    /// <summary>A problem with what stands in a column of this row.</summary>
    /// <param name="column">The column.</param>
    /// <param name="expected">What was expected, as a noun phrase.</param>
    /// <param name="remedy">How to mend it, as a sentence.</param>
    public InputProblem Problem(string column, string expected, string remedy) => new(_table.Source, Line, column, this[column], expected, remedy);
}
