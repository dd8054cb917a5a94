using System.Globalization;
using System.Text;
using System.Text.Json;
using GapFlush.Inputs;
using GapFlush.Measurements;

namespace GapFlush.Decisions;

/// <summary>Writes judged rows as <c>results.csv</c> and <c>results.json</c>: same columns, same order, same figures.</summary>
/// <remarks>
/// <para>Numbers are written to nine decimals, far finer than any gauge, so that a reader who compares them comes to the same verdict.</para>
/// <para>In the CSV a text cell that a spreadsheet would run as a formula (it starts with =, +, -, @, tab or return) gets an apostrophe in front;
/// <c>ResultsReader</c> takes it off again. JSON carries the text as it is.</para>
/// </remarks>
public static class ResultsFile
{
    /// <summary>The columns, in order.</summary>
    public static IReadOnlyList<string> Columns { get; } =
        ["build", "door", "zone", "station", "characteristic", "definition", "stage", "value", "unit", "uncertainty", "nominal", "lower", "upper", "deviation", "verdict", "reason"];

    /// <summary>The rows as comma-separated UTF-8 text, lines ended by LF, header first.</summary>
    public static string ToCsv(IEnumerable<ResultRow> rows)
    {
        StringBuilder text = new();
        text.AppendJoin(',', Columns).Append('\n');
        foreach (ResultRow row in rows) text.AppendJoin(',', Cells(row).Select(c => c.Number is double n ? Figure(n) : Field(c.Text))).Append('\n');
        return text.ToString();
    }

    /// <summary>The rows as a JSON array in UTF-8, an object a row.</summary>
    public static byte[] ToJson(IEnumerable<ResultRow> rows)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, JsonForm.Indented)) WriteJson(json, rows);
        return stream.ToArray();
    }

    /// <summary>Writes the rows as a JSON array of objects; what does not exist is null.</summary>
    public static void WriteJson(Utf8JsonWriter json, IEnumerable<ResultRow> rows)
    {
        json.WriteStartArray();
        foreach (ResultRow row in rows)
        {
            json.WriteStartObject();
            int i = 0;
            foreach ((string? text, double? number) in Cells(row))
            {
                string column = Columns[i++];
                if (number is double n) json.WriteNumber(column, Rounded(n));
                else if (string.IsNullOrEmpty(text)) json.WriteNull(column);
                else json.WriteString(column, text);
            }
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    /// <summary>The word used in files for a verdict; blank where nothing is judged.</summary>
    public static string Word(Verdict? verdict) => verdict switch
    {
        Verdict.Within => "within",
        Verdict.Undecided => "undecided",
        Verdict.Outside => "outside",
        Verdict.Missing => "missing",
        _ => "",
    };

    private static IEnumerable<(string? Text, double? Number)> Cells(ResultRow row)
    {
        Measurement m = row.Measurement;
        return
        [
            (m.Build, null), (m.Door, null), (m.Zone, null), (m.Station, null), (m.Characteristic.Code, null), (m.Definition, null), (m.Stage, null),
            (null, m.Value), (m.Characteristic.Unit, null), (null, m.ExpandedUncertainty), (null, row.Nominal), (null, row.Limits?.Lower), (null, row.Limits?.Upper),
            (null, row.Deviation), (Word(row.Verdict), null), (row.Reason ?? m.Reason, null),
        ];
    }

    private static double Rounded(double value) => Math.Round(value, 9) + 0.0;   // + 0.0 turns -0 into 0

    private static string Figure(double value) => Rounded(value).ToString("0.#########", CultureInfo.InvariantCulture);

    private static string Field(string? text)
    {
        if (string.IsNullOrEmpty(text)) return "";
        string safe = text[0] is '=' or '+' or '-' or '@' or '\t' or '\r' ? "'" + text : text;
        return safe.AsSpan().IndexOfAny(",\"\r\n") >= 0 ? $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : safe;
    }
}
