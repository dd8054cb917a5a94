using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;

namespace GapFlush.Reports.Inspection;

/// <summary>Every value of a door: as read, as stated, against its limits. A row a station, two or three characteristics side by side.</summary>
internal static class ValueTables
{
    public static void Add(List<Block> blocks, DoorResult door)
    {
        Stations(blocks, door, "gap and flush, mm", [Characteristic.Gap, Characteristic.Flush], showRead: true);
        Stations(blocks, door, "steps in the airflow, mm", [Characteristic.StepForward, Characteristic.StepAft], showRead: false);
        Stations(blocks, door, "seal", [Characteristic.LandGap, Characteristic.Compression], showRead: true);
        // Channels stand with their drawings, a line an attitude.
        ResultRow[] whole = [.. door.Rows.Where(r => r.Measurement.Station is null && r.Measurement.Characteristic.Scope != CharacteristicScope.Channel)];
        if (whole.Length > 0)
        {
            blocks.Add(new Heading(2, $"Door {door.Door.Code}: zones and whole door"));
            blocks.Add(new Table([new("Place", 2), new("What", 2), new("Unit", 0.8), new("Value", 1, Align.Right), new("U", 0.8, Align.Right), new("Limits", 1.8), new("Verdict", 4)],
                [.. whole.Select(r => new Row([r.Measurement.Place, r.Measurement.Characteristic.Words, r.Measurement.Characteristic.Unit, Words.Value(r.Measurement.Value, r.Measurement.Characteristic),
                    Words.Value(r.Measurement.ExpandedUncertainty, r.Measurement.Characteristic), Words.Band(r.Limits), VerdictCell(r)], Strong: r.Verdict == Verdict.Outside))]));
        }
        string[] why = [.. door.Rows.SelectMany(r => r.Measurement.Corrections.Select(c => c.Why)).Distinct()];
        if (why.Length > 0) blocks.Add(new Paragraph($"From \"read\" to \"stated\" at door {door.Door.Code}: {string.Join("; ", why)}.", ParagraphRole.Note));
    }

    private static void Stations(List<Block> blocks, DoorResult door, string title, Characteristic[] wanted, bool showRead)
    {
        Dictionary<(string, Characteristic), ResultRow> rows = [];
        foreach (ResultRow row in door.Rows.Where(r => r.Measurement.Station is not null)) rows.TryAdd((row.Measurement.Station!, row.Measurement.Characteristic), row);
        Characteristic[] shown = [.. wanted.Where(c => rows.Keys.Any(k => k.Item2 == c))];
        if (shown.Length == 0) return;
        List<Column> columns = [new("Station", 1)];
        foreach (Characteristic c in shown)
        {
            string name = char.ToUpperInvariant(c.Words[0]) + c.Words[1..];
            if (showRead) columns.Add(new($"{name} read", 1, Align.Right));
            columns.AddRange([new(showRead ? "stated" : name, 1, Align.Right), new("U", 0.6, Align.Right), new("limits", 1.4), new("", 0.9)]);
        }
        List<Row> lines = [];
        foreach (Station station in door.Door.Stations)
        {
            List<Cell> cells = [station.Name];
            bool strong = false;
            foreach (Characteristic c in shown)
            {
                if (!rows.TryGetValue((station.Name, c), out ResultRow? row))
                {
                    cells.AddRange(Enumerable.Repeat(new Cell(""), showRead ? 5 : 4));
                    continue;
                }
                if (showRead) cells.Add(Words.Value(row.Measurement.RawValue, c));
                cells.AddRange([Words.Value(row.Measurement.Value, c), Words.Value(row.Measurement.ExpandedUncertainty, c), Words.Band(row.Limits), ShortVerdict(row)]);
                strong |= row.Verdict == Verdict.Outside;
            }
            lines.Add(new Row(cells, strong));
        }
        blocks.Add(new Heading(2, $"Door {door.Door.Code}: {title}"));
        blocks.Add(new Table(columns, lines));
    }

    // One word beside the mark; the reason stands in the list of what is out.
    private static Cell ShortVerdict(ResultRow row) => row.Verdict is null ? new Cell("") : new Cell(row.Verdict switch { Verdict.Within => "in", Verdict.Outside => "out", Verdict.Undecided => "open", _ => "none" }, RibbonLayer.MarkFor(row.Verdict));

    private static Cell VerdictCell(ResultRow r) => r.Verdict is null ? new Cell(r.Measurement.Value is null ? r.Reason ?? "no value" : "no limits")
        : new Cell(r.Verdict == Verdict.Within ? "within" : $"{ResultsFile.Word(r.Verdict)}: {r.Reason}", RibbonLayer.MarkFor(r.Verdict));
}
