using System.Text;

namespace GapFlush.Reference;

/// <summary>Reads the plain comma-separated files of a reference folder, quotes included.</summary>
internal static class CsvRows
{
    public static IReadOnlyList<IReadOnlyDictionary<string, string>> Read(string path)
    {
        List<List<string>> records = Split(File.ReadAllText(path));
        if (records.Count == 0) return [];
        List<string> header = records[0];
        List<IReadOnlyDictionary<string, string>> rows = [];
        foreach (List<string> record in records.Skip(1))
        {
            if (record.Count == 1 && record[0].Length == 0) continue;
            Dictionary<string, string> row = [];
            for (int i = 0; i < header.Count; i++) row[header[i]] = i < record.Count ? record[i] : "";
            rows.Add(row);
        }
        return rows;
    }

    private static List<List<string>> Split(string text)
    {
        List<List<string>> records = [];
        List<string> record = [];
        StringBuilder field = new();
        bool quoted = false;
        for (int i = 0; i < text.Length; i++)
        {
            char c = text[i];
            if (quoted)
            {
                if (c != '"') field.Append(c);
                else if (i + 1 < text.Length && text[i + 1] == '"') { field.Append('"'); i++; }
                else quoted = false;
            }
            else if (c == '"') quoted = true;
            else if (c == ',') { record.Add(field.ToString()); field.Clear(); }
            else if (c == '\n') { record.Add(field.ToString()); field.Clear(); records.Add(record); record = []; }
            else if (c != '\r' && c != '\uFEFF') field.Append(c);
        }
        if (field.Length > 0 || record.Count > 0) { record.Add(field.ToString()); records.Add(record); }
        return records;
    }
}
