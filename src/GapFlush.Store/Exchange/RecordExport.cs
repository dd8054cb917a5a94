using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Store.Engines;

namespace GapFlush.Store.Exchange;

/// <summary>A record that was exported, read back and held against its own chain.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Files">The files, in order.</param>
/// <param name="Entries">The entries, in order, with their links.</param>
public sealed record RecordExport(string Source, IReadOnlyList<RecordedFile> Files, IReadOnlyList<Entry> Entries)
{
    /// <summary>True where a table has the columns of an export.</summary>
    public static bool Is(DelimitedTable table) => ExportColumns.Marks.All(table.Has);

    /// <summary>Reads an export, or says what is wrong with it: a chain that does not hold is refused, since an altered export would make an altered record.</summary>
    public static Outcome<RecordExport> Read(InputFile file)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(file, DelimitedOptions.Comma("value", "temperature_c", "uncertainty"));
        if (!form.IsUsable) return Outcome<RecordExport>.Refused(form.Problems, form.Notices);
        DelimitedTable table = form.Value;
        List<InputProblem> problems = [.. table.Missing(ExportColumns.All)];
        if (problems.Count > 0) return Outcome<RecordExport>.Refused(problems, form.Notices);
        List<RecordedFile> files = [];
        List<Entry> entries = [];
        Chain chain = new();
        byte[] before = Chain.Start;
        foreach (DelimitedRow row in table.Rows)
        {
            if (row.Text("file_link") is not null)
            {
                if (FileOf(row, problems) is not RecordedFile added) break;
                files.Add(added);
                if (added.Number != files.Count || !Holds(chain.Link(before, added), added.Hash, row, "file_link", problems)) break;
                before = added.Hash;
            }
            if (EntryOf(row, problems) is not Entry entry) break;
            entries.Add(entry);
            if (files.Count == 0 || entry.Number != entries.Count || entry.File != files.Count)
            {
                problems.Add(row.Problem("entry", Invariant($"entry {entries.Count} of file {files.Count}"), "Rows were taken out or moved; use the export as it was written."));
                break;
            }
            if (!Holds(chain.Link(before, entry), entry.Hash, row, "link", problems)) break;
            before = entry.Hash;
        }
        if (problems.Count == 0 && files.Sum(f => f.Entries) != entries.Count)
            problems.Add(new(file.Name, 0, "", Invariant($"{entries.Count} entries"), Invariant($"{files.Sum(f => f.Entries)} entries, as its files count them"), "The export was cut short; export the record again."));
        return problems.Count > 0 ? Outcome<RecordExport>.Refused(problems, form.Notices) : Outcome<RecordExport>.Of(new(file.Name, files, entries), form.Notices);
    }

    private static bool Holds(byte[] link, byte[] stored, DelimitedRow row, string column, List<InputProblem> problems)
    {
        if (link.AsSpan().SequenceEqual(stored)) return true;
        problems.Add(row.Problem(column, "the link that the row and those before it give", "The export was altered after it was written, or a spreadsheet rewrote its numbers; export the record again."));
        return false;
    }

    private static RecordedFile? FileOf(DelimitedRow row, List<InputProblem> problems)
    {
        int before = problems.Count;
        long number = Whole(row, "file", problems), entries = Whole(row, "entries", problems);
        string? name = row.RequiredText("file_name", problems), by = row.Text("added_by") ?? "";
        DateTimeOffset? at = Time(row, "added_at", problems);
        byte[] link = Link(row, "file_link", problems);
        if (at is null && problems.Count == before) problems.Add(row.Problem("added_at", "a time", "Use the export as it was written."));
        return problems.Count > before ? null : new() { Number = number, Name = name!, Sha256 = row.Text("sha256"), Entries = entries, AddedBy = by, AddedAt = at!.Value, Why = row.Text("why"), Hash = link };
    }

    private static Entry? EntryOf(DelimitedRow row, List<InputProblem> problems)
    {
        int before = problems.Count;
        long number = Whole(row, "entry", problems), file = Whole(row, "file", problems), line = Whole(row, "line", problems);
        long? corrects = row.Text("corrects") is null ? null : Whole(row, "corrects", problems);
        string? build = row.RequiredText("build", problems), door = row.RequiredText("door", problems), station = row.RequiredText("station", problems), code = row.RequiredText("characteristic", problems);
        Characteristic? characteristic = code is null ? null : Characteristic.Find(code);
        if (code is not null && characteristic is null) problems.Add(row.Problem("characteristic", "a characteristic that this version knows", "Use the version that wrote the export, or a later one."));
        double? value = row.Number("value", problems), temperature = row.Number("temperature_c", problems), uncertainty = row.Number("uncertainty", problems);
        DateTimeOffset? at = Time(row, "taken_at", problems);
        int? repeat = row.WholeNumber("repeat", problems);
        byte[] link = Link(row, "link", problems);
        if (value is null && corrects is null && problems.Count == before) problems.Add(row.Problem("value", "a number", "Only a correction may have no value: it withdraws the entry it names."));
        if (problems.Count > before) return null;
        string written = row["written_value"];
        Reading reading = new()
        {
            Build = build!,
            Door = door!,
            Station = station!,
            Characteristic = characteristic!,
            Value = EntryColumns.ValueOf(value),
            WrittenValue = written,
            WrittenUnit = row["written_unit"],
            WrittenDecimals = EntryColumns.Decimals(written),
            Gauge = row.Text("gauge"),
            Inspector = row.Text("inspector"),
            TakenAt = at,
            Repeat = repeat,
            TemperatureC = temperature,
            Stage = row.Text("stage"),
            Definition = row.Text("definition"),
            ExpandedUncertainty = uncertainty,
            PlanIssue = row.Text("plan_issue"),
            Note = row.Text("note"),
            Source = "",
            Line = (int)line,
        };
        return new() { Number = number, File = file, Corrects = corrects, Reading = reading, Hash = link };
    }

    private static long Whole(DelimitedRow row, string column, List<InputProblem> problems)
    {
        if (row.WholeNumber(column, problems) is int number) return number;
        if (row.Text(column) is null) problems.Add(row.Problem(column, "a whole number", "Use the export as it was written."));
        return 0;
    }

    private static DateTimeOffset? Time(DelimitedRow row, string column, List<InputProblem> problems)
    {
        if (row.Text(column) is not string text) return null;
        if (TimeText.Read(text) is DateTimeOffset time) return time;
        problems.Add(row.Problem(column, "a time such as 2026-03-11T13:19:02Z", "Use the export as it was written."));
        return null;
    }

    private static byte[] Link(DelimitedRow row, string column, List<InputProblem> problems)
    {
        string text = row[column];
        if (text.Length == 2 * Chain.LinkSize && text.All(char.IsAsciiHexDigit)) return Convert.FromHexString(text);
        problems.Add(row.Problem(column, "64 hexadecimal digits", "Use the export as it was written."));
        return [];
    }
}
