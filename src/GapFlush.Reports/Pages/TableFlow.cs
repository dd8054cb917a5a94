using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>Lays out a table on sheets: cells wrap, rows stay whole, the head is repeated.</summary>
internal static class TableFlow
{
    private const double Size = Lettering.LeastMm, Pitch = 1.6, Pad = 1.2;
    private static readonly Stroke Hair = new(Palette.Light, 0.15), Rule = new(Palette.Black, 0.35);

    public static void Add(PageFlow flow, Table table)
    {
        double[] widths = Widths(table, PageFlow.WidthMm);
        flow.Need(Opening(table, widths));
        if (table.Caption is not null)
        {
            foreach (string line in TextMeasure.Wrap(table.Caption, PageFlow.WidthMm, Size))
            {
                flow.Y += Size * Pitch;
                flow.Draw(new Lettering(new(PageFlow.LeftMm, flow.Y), line, Size, Ink: Palette.Grey));
            }
            flow.Y += 1;
        }
        Head(flow, table, widths);
        foreach (Row row in table.Rows)
        {
            List<IReadOnlyList<string>> cells = CellsOf(table, row, widths);
            double height = Height(cells);
            if (flow.Need(height)) Head(flow, table, widths);
            if (row.Strong) flow.Draw(Trail.Box(PageFlow.LeftMm, flow.Y, PageFlow.WidthMm, height, null, Palette.Wash));
            Cells(flow, table, widths, cells, row);
            flow.Y += height;
            flow.Draw(Trail.Line(PageFlow.LeftMm, flow.Y, PageFlow.LeftMm + PageFlow.WidthMm, flow.Y, Hair));
        }
        flow.Y += 4;
    }

    /// <summary>Room for what does not stand apart: caption, head and first row.</summary>
    public static double Opening(Table table) => Opening(table, Widths(table, PageFlow.WidthMm));

    private static double Opening(Table table, double[] widths) => (table.Caption is null ? 0 : TextMeasure.Wrap(table.Caption, PageFlow.WidthMm, Size).Count * Size * Pitch + 1)
        + HeadHeight(Titles(table, widths)) + (table.Rows.Count == 0 ? 0 : Height(CellsOf(table, table.Rows[0], widths)));

    private static List<IReadOnlyList<string>> Titles(Table table, double[] widths) => [.. table.Columns.Select((c, i) => TextMeasure.Wrap(c.Title, widths[i] - 2 * Pad, Size, Weight.Semibold))];

    private static double HeadHeight(List<IReadOnlyList<string>> titles) => titles.Max(t => t.Count) * Size * Pitch + Pad;

    private static List<IReadOnlyList<string>> CellsOf(Table table, Row row, double[] widths) => [.. row.Cells.Select((c, i) => Wrapped(c, table.Columns[i], widths[i], row.Strong))];

    private static double Height(List<IReadOnlyList<string>> cells) => Math.Max(1, cells.Max(c => c.Count)) * Size * Pitch + Pad * 1.2;

    private static void Head(PageFlow flow, Table table, double[] widths)
    {
        List<IReadOnlyList<string>> titles = Titles(table, widths);
        double height = HeadHeight(titles);
        Cells(flow, table, widths, titles, new Row([.. table.Columns.Select(c => new Cell(c.Title))], Strong: true));
        flow.Y += height;
        flow.Draw(Trail.Line(PageFlow.LeftMm, flow.Y, PageFlow.LeftMm + PageFlow.WidthMm, flow.Y, Rule));
    }

    private static void Cells(PageFlow flow, Table table, double[] widths, List<IReadOnlyList<string>> cells, Row row)
    {
        double x = PageFlow.LeftMm;
        for (int i = 0; i < cells.Count; i++)
        {
            bool right = table.Columns[i].Align == Align.Right;
            double markWidth = row.Cells[i].Mark is null ? 0 : Size * 1.5, y = flow.Y;
            for (int line = 0; line < cells[i].Count; line++)
            {
                y += Size * Pitch;
                if (line == 0 && row.Cells[i].Mark is Mark mark)
                {
                    // A mark stands in front of its words, also where they end at the right.
                    double at = right ? x + widths[i] - Pad - TextMeasure.WidthMm(cells[i][0], Size, row.Strong ? Weight.Semibold : Weight.Regular) - Size : x + Pad + Size * 0.5;
                    foreach (Shape shape in MarkShapes.At(mark, new(at, y - Size / 2), Size * 1.2)) flow.Draw(shape);
                }
                flow.Draw(new Lettering(new(right ? x + widths[i] - Pad : x + Pad + markWidth, y), cells[i][line], Size, row.Strong ? Weight.Semibold : Weight.Regular, right ? Anchor.End : Anchor.Start));
            }
            x += widths[i];
        }
    }

    private static IReadOnlyList<string> Wrapped(Cell cell, Column column, double width, bool strong) =>
        cell.Text.Length == 0 ? [] : TextMeasure.Wrap(cell.Text, width - 2 * Pad - (cell.Mark is null ? 0 : Size * 1.5), Size, strong ? Weight.Semibold : Weight.Regular);

    // Each column gets the width its longest word needs. What is left goes first to the columns that need little to wrap nowhere, the most modest first; the wordy ones share the rest by weight.
    private static double[] Widths(Table table, double total)
    {
        int n = table.Columns.Count;
        double[] width = new double[n], more = new double[n];
        for (int i = 0; i < n; i++)
        {
            double around = 2 * Pad + 0.2 + (table.Rows.Any(r => r.Cells[i].Mark is not null) ? Size * 1.5 : 0);
            string[] cells = [table.Columns[i].Title, .. table.Rows.Select(r => r.Cells[i].Text)];
            width[i] = Math.Min(total / n * 1.6, cells.SelectMany(c => c.Split(' ')).Max(Measured) + around);
            more[i] = Math.Max(0, cells.Skip(1).Select(Measured).DefaultIfEmpty(0).Max() + around - width[i]);   // a title may wrap
        }
        double spare = total - width.Sum();
        if (spare < 0) return [.. width.Select(w => w * total / width.Sum())];
        List<int> wordy = [.. Enumerable.Range(0, n).OrderBy(i => more[i])];
        while (wordy.Count > 0 && more[wordy[0]] <= Math.Max(spare / 5, Share(wordy[0], wordy)))
        {
            width[wordy[0]] += more[wordy[0]];
            spare -= more[wordy[0]];
            wordy.RemoveAt(0);
        }
        List<int> sharing = wordy.Count > 0 ? wordy : [.. Enumerable.Range(0, n)];
        foreach ((int i, double share) in sharing.Select(i => (i, Share(i, sharing))).ToList()) width[i] += share;
        return width;

        double Share(int column, List<int> among) => spare * table.Columns[column].Weight / among.Sum(i => table.Columns[i].Weight);

        static double Measured(string text) => TextMeasure.WidthMm(text, Size, Weight.Semibold);
    }
}
