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
        if (table.Caption is not null)
        {
            flow.Need(Size * Pitch * 5);
            foreach (string line in TextMeasure.Wrap(table.Caption, PageFlow.WidthMm, Size))
            {
                flow.Y += Size * Pitch;
                flow.Draw(new Lettering(new(PageFlow.LeftMm, flow.Y), line, Size, Ink: Palette.Grey));
            }
            flow.Y += 1;
        }
        flow.Need(Size * Pitch * 4);
        Head(flow, table, widths);
        foreach (Row row in table.Rows)
        {
            List<IReadOnlyList<string>> cells = [.. row.Cells.Select((c, i) => Wrapped(c, table.Columns[i], widths[i], row.Strong))];
            double height = Math.Max(1, cells.Max(c => c.Count)) * Size * Pitch + Pad * 1.2;
            if (flow.Need(height)) Head(flow, table, widths);
            if (row.Strong) flow.Draw(Trail.Box(PageFlow.LeftMm, flow.Y, PageFlow.WidthMm, height, null, Palette.Wash));
            Cells(flow, table, widths, cells, row);
            flow.Y += height;
            flow.Draw(Trail.Line(PageFlow.LeftMm, flow.Y, PageFlow.LeftMm + PageFlow.WidthMm, flow.Y, Hair));
        }
        flow.Y += 4;
    }

    private static void Head(PageFlow flow, Table table, double[] widths)
    {
        List<IReadOnlyList<string>> titles = [.. table.Columns.Select((c, i) => TextMeasure.Wrap(c.Title, widths[i] - 2 * Pad, Size, Weight.Semibold))];
        double height = titles.Max(t => t.Count) * Size * Pitch + Pad;
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
                    foreach (Shape shape in MarkShapes.At(mark, new(x + Pad + Size * 0.5, y - Size / 2), Size * 1.2)) flow.Draw(shape);
                }
                flow.Draw(new Lettering(new(right ? x + widths[i] - Pad : x + Pad + markWidth, y), cells[i][line], Size, row.Strong ? Weight.Semibold : Weight.Regular, right ? Anchor.End : Anchor.Start));
            }
            x += widths[i];
        }
    }

    private static IReadOnlyList<string> Wrapped(Cell cell, Column column, double width, bool strong) =>
        cell.Text.Length == 0 ? [] : TextMeasure.Wrap(cell.Text, width - 2 * Pad - (cell.Mark is null ? 0 : Size * 1.5), Size, strong ? Weight.Semibold : Weight.Regular);

    // Each column gets the width its longest word needs, then what is left goes by weight.
    private static double[] Widths(Table table, double total)
    {
        int n = table.Columns.Count;
        double[] least = new double[n];
        for (int i = 0; i < n; i++)
        {
            IEnumerable<string> words = table.Columns[i].Title.Split(' ').Concat(table.Rows.SelectMany(r => r.Cells[i].Text.Split(' ')));
            double mark = table.Rows.Any(r => r.Cells[i].Mark is not null) ? Size * 1.5 : 0;
            least[i] = Math.Min(total / n * 1.6, words.Max(w => TextMeasure.WidthMm(w, Size, Weight.Semibold)) + 2 * Pad + mark + 0.2);
        }
        double spare = total - least.Sum(), weights = table.Columns.Sum(c => c.Weight);
        return spare >= 0 ? [.. least.Select((w, i) => w + spare * table.Columns[i].Weight / weights)] : [.. least.Select(w => w * total / least.Sum())];
    }
}
