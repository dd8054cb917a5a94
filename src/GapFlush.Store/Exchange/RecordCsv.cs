using System.Buffers;
using System.Globalization;
using GapFlush.Measurements;

namespace GapFlush.Store.Exchange;

/// <summary>Writes a record as comma-separated text, a row an entry; what belongs to a file stands on the first row of that file.</summary>
internal static class RecordCsv
{
    private static readonly SearchValues<char> Special = SearchValues.Create(",;\t\"\r\n");

    /// <summary>Writes the whole record.</summary>
    public static void Write(TextWriter output, IReadOnlyList<RecordedFile> files, IEnumerable<Entry> entries)
    {
        output.Write(string.Join(',', ExportColumns.All) + "\n");
        Dictionary<long, RecordedFile> byNumber = files.ToDictionary(f => f.Number);
        long current = 0;
        foreach (Entry entry in entries)
        {
            RecordedFile? first = entry.File != current ? byNumber.GetValueOrDefault(entry.File) : null;
            current = entry.File;
            Reading r = entry.Reading;
            output.Write(string.Join(',', (string?[])
            [
                Number(entry.Number), Number(entry.File), Number(r.Line), Number(entry.Corrects), Quoted(r.Build), Quoted(r.Door), Quoted(r.Station), r.Characteristic.Code,
                entry.IsWithdrawal ? "" : Number(r.Value), Quoted(r.WrittenValue), Quoted(r.WrittenUnit), Quoted(r.Gauge), Quoted(r.Inspector), r.TakenAt is DateTimeOffset at ? TimeText.Of(at) : "",
                Number(r.Repeat), Number(r.TemperatureC), Quoted(r.Stage), Quoted(r.Definition), Number(r.ExpandedUncertainty), Quoted(r.PlanIssue), Quoted(r.Note), Convert.ToHexStringLower(entry.Hash),
                .. OfFile(first),
            ]));
            output.Write('\n');
        }
    }

    private static string?[] OfFile(RecordedFile? file) => file is null ? ["", "", "", "", "", "", ""]
        : [Quoted(file.Name), file.Sha256, Number(file.Entries), Quoted(file.AddedBy), TimeText.Of(file.AddedAt), Quoted(file.Why), Convert.ToHexStringLower(file.Hash)];

    private static string Number(long? number) => number?.ToString(CultureInfo.InvariantCulture) ?? "";

    // The shortest text that reads back to the same number.
    private static string Number(double? number) => number?.ToString("R", CultureInfo.InvariantCulture) ?? "";

    // Quoted wherever plain text could be read otherwise, blanks at the ends included.
    private static string Quoted(string? text) => text is null ? ""
        : text.Length > 0 && text.AsSpan().IndexOfAny(Special) < 0 && text[0] != ' ' && text[^1] != ' ' ? text : $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
