using CsvHelper;

namespace GapFlush.Inputs;

/// <summary>A delimited text file with a header row, checked as a table: every row has a field for every column.</summary>
/// <remarks>
/// <para>Separator: found from the header among those allowed. A first line <c>sep=;</c>, which spreadsheets write, declares it. Decimal mark: a point;
/// where the separator is not the comma, a comma if the number columns have commas. A file with both marks is refused.</para>
/// <para>Line ends may be LF, CRLF, CR or mixed. Blank lines, rows of blank fields and nameless columns without content are left out. Quoted fields hold
/// separators, line breaks and doubled quotes (RFC 4180). There are no comment lines.</para>
/// <para>Refused: an empty file, a header alone, a column without a name or named twice, a row with too few or too many fields, a quote in the
/// wrong place, binary content.</para>
/// <para>CsvHelper 34 cuts the text into fields and lines. The encoding, the separator and the decimal mark are found here, before: it takes bytes that are not UTF-8
/// silently, lets the first line alone decide the separator out of more kinds than the contract allows, and reads NaN and 1e400 as numbers.</para>
/// </remarks>
public sealed class DelimitedTable
{
    private readonly Dictionary<string, int> _index = new(StringComparer.OrdinalIgnoreCase);

    private DelimitedTable(string source, char separator, IReadOnlyList<string> columns)
    {
        (Source, Separator, Columns) = (source, separator, [.. columns.Where(c => c.Length > 0)]);
        for (int i = 0; i < columns.Count; i++)
        {
            if (columns[i].Length > 0) _index.TryAdd(columns[i], i);
        }
    }

    /// <summary>The file, as the user named it.</summary>
    public string Source { get; }

    /// <summary>The header names, trimmed, in file order.</summary>
    public IReadOnlyList<string> Columns { get; }

    /// <summary>The rows in file order; at least one, unless the options allow none.</summary>
    public IReadOnlyList<DelimitedRow> Rows { get; private set; } = [];

    /// <summary>The separator: comma, semicolon or tab.</summary>
    public char Separator { get; }

    /// <summary>Line of the header in the file.</summary>
    public int HeaderLine { get; private set; }

    /// <summary>True where numbers have a decimal comma.</summary>
    public bool DecimalComma { get; private set; }

    /// <summary>What was found by looking, for the user to know.</summary>
    public IReadOnlyList<string> Notices { get; private set; } = [];

    /// <summary>True when the header has that column; letter case does not matter.</summary>
    public bool Has(string column) => _index.ContainsKey(column);

    /// <summary>The columns that are not among the known ones, in file order.</summary>
    public IReadOnlyList<string> ColumnsOtherThan(IReadOnlyCollection<string> known) => [.. Columns.Where(c => !known.Contains(c, StringComparer.OrdinalIgnoreCase))];

    /// <summary>One problem for every required column that the header lacks; one for all where it has none of them and so is no header.</summary>
    public IReadOnlyList<InputProblem> Missing(params IReadOnlyList<string> required)
    {
        string header = string.Join(Separator, Columns);
        string[] missing = [.. required.Where(c => !Has(c))];
        return missing.Length == required.Count && missing.Length > 1
            ? [new(Source, HeaderLine, "", header, $"a header with the columns {string.Join(", ", required)}", "Write the column names on the first line, with the same separator as the rows.")]
            : [.. missing.Select(c => new InputProblem(Source, HeaderLine, c, header, "a column of this name in the header", "Add the column, or correct its name."))];
    }

    internal int IndexOf(string column) => _index.TryGetValue(column, out int i) ? i : -1;

    /// <summary>Reads a file as a table, or says everything that is wrong with its form.</summary>
    public static Outcome<DelimitedTable> Read(InputFile file, DelimitedOptions options)
    {
        DecodedText decoded = DecodedText.From(file);
        if (decoded.Problem is not null) return Outcome<DelimitedTable>.Refused([decoded.Problem]);
        List<string> notices = decoded.Notice is null ? [] : [decoded.Notice];
        InputProblem empty = new(file.Name, 0, "", "", "a header row and at least one row below it", "The file is empty; give the file that was meant.");
        if (string.IsNullOrWhiteSpace(decoded.Text)) return Refuse(empty);

        (char separator, string text, InputProblem? wrong) = FindSeparator(file.Name, decoded.Text, options);
        if (wrong is not null) return Refuse(wrong);

        List<InputProblem> problems = [];
        List<(int Line, string[] Fields)> records = Cut(file.Name, text, separator, problems);
        if (problems.Count == 0 && records.Count == 0) return Refuse(empty);   // separators and nothing between them
        if (problems.Count > 0) return Outcome<DelimitedTable>.Refused(problems, notices);

        (int headerLine, string[] header) = records[0];
        DelimitedTable table = new(file.Name, separator, header) { HeaderLine = headerLine };
        records.RemoveAt(0);
        table.CheckHeader(header, records, problems);
        if (records.Count == 0 && options.RowsRequired)
            problems.Add(new(file.Name, 0, "", "a header alone", "at least one row below the header", "Give the file with its rows."));
        List<DelimitedRow> rows = [];
        foreach ((int line, string[] fields) in records)
        {
            if (fields.Length == header.Length) rows.Add(new(table, line, fields));
            else if (fields.Skip(header.Length).All(f => f.Length == 0) && fields.Length > header.Length) rows.Add(new(table, line, fields[..header.Length]));
            else problems.Add(table.Ragged(line, fields, header, options));
        }
        table.Rows = rows;
        if (problems.Count == 0) table.FindDecimalMark(options, problems, notices);
        table.Notices = notices;
        return problems.Count > 0 ? Outcome<DelimitedTable>.Refused(problems, notices) : Outcome<DelimitedTable>.Of(table, notices);

        Outcome<DelimitedTable> Refuse(InputProblem problem) => Outcome<DelimitedTable>.Refused([problem], notices);
    }

    /// <summary>The name of a separator in running text.</summary>
    internal static string NameOf(char separator) => separator switch { ',' => "comma", ';' => "semicolon", '\t' => "tab", _ => separator.ToString() };

    private static (char Separator, string Text, InputProblem? Problem) FindSeparator(string source, string text, DelimitedOptions options)
    {
        string allowed = string.Join(" or ", options.Separators.Select(NameOf));
        int start = 0;
        while (start < text.Length && text[start] == '\n') start++;
        int end = text.IndexOf('\n', start) is int n and >= 0 ? n : text.Length;
        string first = text[start..end].Trim(' ');
        if (first.StartsWith("sep=", StringComparison.OrdinalIgnoreCase) && first.Length <= 5)
        {
            char declared = first.Length == 5 ? first[4] : '\t';
            return options.Separators.Contains(declared)
                ? (declared, string.Concat(text.AsSpan(0, start), text.AsSpan(end)), null)   // its line end stays, so lines count on
                : (declared, text, new(source, 1, "", first, $"{allowed} as the separator", $"Save the file with {allowed} between the fields."));
        }
        Dictionary<char, int> counts = new() { [','] = 0, [';'] = 0, ['\t'] = 0 };
        bool quoted = false;
        foreach (char c in text.AsSpan(start))
        {
            if (c == '"') quoted = !quoted;
            else if (quoted) continue;
            else if (c == '\n') break;
            else if (counts.TryGetValue(c, out int count)) counts[c] = count + 1;
        }
        char best = options.Separators[0];
        foreach (char c in options.Separators)
        {
            if (counts[c] > counts[best]) best = c;
        }
        char other = counts.Where(c => !options.Separators.Contains(c.Key)).OrderByDescending(c => c.Value).Select(c => c.Key).FirstOrDefault(best);
        return counts[best] == 0 && counts[other] > 0
            ? (other, text, new(source, 1 + start, "", first, $"{allowed} between the fields", $"The header has the {NameOf(other)} between its fields; save the file with {allowed}{(options.Separators is [','] ? ", and numbers with a decimal point" : "")}."))
            : (best, text, null);
    }

    private static List<(int Line, string[] Fields)> Cut(string source, string text, char separator, List<InputProblem> problems)
    {
        List<(int, string[])> records = [];
        CsvReaderOptions how = new()
        {
            Separator = separator,
            HasHeader = false,
            TrackLineNumbers = true,
            TrimWhitespace = true,
            MalformedData = CsvMalformedDataHandling.Recover,
            FieldCountMismatch = CsvFieldCountHandling.Allow,
            OnMalformedRecord = record => problems.Add(Quoting(source, record)),
        };
        try
        {
            using CsvReader csv = CsvReader.FromText(text, how);
            while (csv.Read())
            {
                string[] fields = new string[csv.FieldCount];
                for (int i = 0; i < fields.Length; i++) fields[i] = csv.GetString(i).Trim();
                if (fields.Any(f => f.Length > 0)) records.Add(((int)csv.LineNumber, fields));
            }
        }
        catch (CsvFormatException e)
        {
            problems.Add(new(source, (int)Math.Max(0, e.LineNumber), "", "text that cannot be cut into fields", "fields with a separator between them", "Look for a quote mark that is not closed."));
        }
        return records;
    }

    private static InputProblem Quoting(string source, CsvMalformedRecord record) => record.Reason switch
    {
        CsvMalformedReason.UnterminatedQuote => new(source, (int)record.LineNumber, "", record.RawRecord, "a closing quote mark", "A field that starts with a quote mark is never closed; close it, or take the mark out."),
        CsvMalformedReason.TextAfterClosingQuote => new(source, (int)record.LineNumber, "", record.RawRecord, "a separator after a closing quote mark", "Double a quote mark that belongs to the text, or take it out."),
        _ => new(source, (int)record.LineNumber, "", record.RawRecord, "quote marks only round a whole field", "Take the quote mark out of the field; if it means inch, write in into the column unit."),
    };

    private void CheckHeader(string[] header, List<(int Line, string[] Fields)> records, List<InputProblem> problems)
    {
        Dictionary<string, int> seen = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < header.Length; i++)
        {
            int column = i;
            if (header[i].Length == 0)
            {
                if (records.Find(r => column < r.Fields.Length && r.Fields[column].Length > 0) is { Fields: not null } filled)
                    problems.Add(new(Source, HeaderLine, "", "", Invariant($"a name for column {i + 1}, which has content on line {filled.Line}"), "Name the column in the header, or empty it."));
            }
            else if (!seen.TryAdd(header[i], i))
            {
                problems.Add(new(Source, HeaderLine, header[i], header[i], "each column once", Invariant($"Columns {seen[header[i]] + 1} and {i + 1} have this name; rename or delete one.")));
            }
        }
    }

    private InputProblem Ragged(int line, string[] fields, string[] header, DelimitedOptions options)
    {
        string name = NameOf(Separator);
        string expected = Invariant($"{header.Length} fields, as in the header");
        if (Separator == ',' && fields.Length > header.Length && SplitNumber(fields, header, options) is int at)
        {
            return new(Source, line, header[at], fields[at] + "," + fields[at + 1], Invariant($"{header.Length} fields, as in the header ({fields.Length} found), and a decimal point in numbers"),
                "A decimal comma splits a number in two where the comma separates the fields; write a decimal point" + (options.Separators.Contains(';') ? ", or save the file with semicolons." : "."));
        }
        return fields.Length > header.Length
            ? new(Source, line, "", string.Join(Separator, fields), Invariant($"{expected} ({fields.Length} found)"), $"Take out the {name} that is too many, or put the field that holds it in quote marks.")
            : new(Source, line, "", string.Join(Separator, fields), Invariant($"{expected} ({fields.Length} found)"), $"Add the missing fields; a blank field still needs its {name}.");
    }

    // The first number column whose two halves, taken together, mend the row: as many joints as there are fields too many.
    private static int? SplitNumber(string[] fields, string[] header, DelimitedOptions options)
    {
        int tooMany = fields.Length - header.Length, shift = 0;
        int? first = null;
        for (int i = 0; i < header.Length && i + shift + 1 < fields.Length; i++)
        {
            bool isNumber = options.NumberColumns.Contains(header[i], StringComparer.OrdinalIgnoreCase);
            if (!isNumber || shift == tooMany || !IsWhole(fields[i + shift]) || fields[i + shift + 1] is not { Length: > 0 } tail || !tail.All(char.IsAsciiDigit)) continue;
            first ??= i + shift;
            shift++;
        }
        return shift == tooMany ? first : null;

        static bool IsWhole(string text) => text.TrimStart('-', '+', '\u2212') is { Length: > 0 } digits && digits.All(char.IsAsciiDigit);
    }

    private void FindDecimalMark(DelimitedOptions options, List<InputProblem> problems, List<string> notices)
    {
        if (Separator == ',') return;
        (DelimitedRow Row, string Column)? point = null, comma = null;
        foreach (DelimitedRow row in Rows)
        {
            foreach (string column in options.NumberColumns)
            {
                string text = row[column].Replace('\u2212', '-');
                if (text.Contains('.', StringComparison.Ordinal) && NumberText.IsShape(text, '.')) point ??= (row, column);
                else if (text.Contains(',', StringComparison.Ordinal) && NumberText.IsShape(text, ',')) comma ??= (row, column);
            }
        }
        DecimalComma = comma is not null && point is null;
        if (comma is { } c && point is { } p)
        {
            (DelimitedRow Row, string Column) later = c.Row.Line > p.Row.Line ? c : p, earlier = later == c ? p : c;
            problems.Add(new(Source, later.Row.Line, later.Column, later.Row[later.Column], "one decimal mark throughout the file",
                Invariant($"Line {earlier.Row.Line} has '{earlier.Row[earlier.Column]}' in column {earlier.Column}; write points or commas, not both, and no marks between thousands.")));
        }
        else if (DecimalComma)
        {
            notices.Add(Invariant($"{Source}: fields are separated by {NameOf(Separator)} and numbers have a decimal comma; both were found by looking."));
        }
    }
}
