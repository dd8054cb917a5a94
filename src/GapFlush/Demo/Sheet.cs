using System.Globalization;
using System.Text;
using GapFlush.Measurements;

namespace GapFlush.Demo;

/// <summary>Writes readings sheets as files.</summary>
public static class Sheet
{
    private static readonly string[] Columns =
        ["build", "door", "station", "characteristic", "value", "unit", "gauge", "inspector", "taken_at", "repeat", "temperature_c", "stage", "definition", "uncertainty", "note", "plan_issue"];

    /// <summary>The text of a sheet.</summary>
    public static string Text(IEnumerable<SheetRow> rows, SheetSpelling? spelling = null)
    {
        spelling ??= SheetSpelling.Plain;
        string end = spelling.CarriageReturns ? "\r\n" : "\n";
        StringBuilder text = new();
        Line(Columns);
        foreach (SheetRow row in rows)
        {
            bool inches = spelling.Inches && row.Unit == "mm";
            double value = inches ? row.Value / 25.4 : row.Value;
            Line(row.Build, row.Door, row.Station, row.Characteristic.Code, Number(value, inches ? 4 : row.Decimals), inches ? "in" : row.Unit, row.Gauge, row.Inspector,
                row.TakenAt.ToString("yyyy-MM-ddTHH:mm:ssZ", CultureInfo.InvariantCulture), row.Repeat is int n ? Invariant($"{n}") : "",
                row.TemperatureC is double c ? Number(c, 1) : "", row.Stage, row.Definition ?? "", "", row.Note ?? "", row.PlanIssue ?? "");
        }
        return text.ToString();

        void Line(params string[] fields) => text.AppendJoin(spelling.Separator, fields.Select(Field)).Append(end);

        string Field(string field) =>
            spelling.Quotes || field.Contains(spelling.Separator, StringComparison.Ordinal) || field.Contains('"', StringComparison.Ordinal)
                ? "\"" + field.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : field;

        string Number(double number, int decimals)
        {
            string plain = number.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
            return spelling.DecimalComma ? plain.Replace('.', ',') : plain;
        }
    }

    /// <summary>The bytes of a sheet.</summary>
    public static byte[] Bytes(IEnumerable<SheetRow> rows, SheetSpelling? spelling = null)
    {
        byte[] body = (spelling?.Latin1 == true ? Encoding.Latin1 : Encoding.UTF8).GetBytes(Text(rows, spelling));
        return spelling?.ByteOrderMark == true ? [0xEF, 0xBB, 0xBF, .. body] : body;
    }

    /// <summary>The readings a reader makes of a plainly spelt sheet.</summary>
    /// <param name="rows">The rows, in file order; the header is line 1.</param>
    /// <param name="source">Name of the file.</param>
    public static IReadOnlyList<Reading> Readings(IEnumerable<SheetRow> rows, string source) => [.. rows.Select((row, i) => new Reading
    {
        Build = row.Build,
        Door = row.Door,
        Station = row.Station,
        Characteristic = row.Characteristic,
        Value = Math.Round(row.Value, row.Decimals),
        WrittenValue = row.Value.ToString("F" + row.Decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture),
        WrittenUnit = row.Unit,
        WrittenDecimals = row.Decimals,
        Gauge = row.Gauge,
        Inspector = row.Inspector,
        TakenAt = row.TakenAt,
        Repeat = row.Repeat,
        TemperatureC = row.TemperatureC,
        Stage = row.Stage,
        Definition = row.Definition,
        Note = row.Note,
        PlanIssue = row.PlanIssue,
        Source = source,
        Line = i + 2,
    })];
}
