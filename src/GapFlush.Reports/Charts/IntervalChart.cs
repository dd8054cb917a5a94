using GapFlush.Reports.Drawing;
using GapFlush.Statistics;

namespace GapFlush.Reports.Charts;

/// <summary>Estimates with their intervals in a row, such as Ppk or differences round a door: A4 sheets across.</summary>
public static class IntervalChart
{
    private const int PerSheet = 60;

    /// <summary>Draws the chart, as many sheets as it takes.</summary>
    /// <param name="title">Title.</param>
    /// <param name="answer">What it says.</param>
    /// <param name="unit">What the value axis shows.</param>
    /// <param name="key">What full and open marks mean.</param>
    /// <param name="items">The items from left to right.</param>
    /// <param name="levels">Values to draw a line at, with words.</param>
    /// <param name="shownUpTo">Where the axis ends at most; what lies beyond is pinned there with an arrow. Null for no end.</param>
    public static IReadOnlyList<Sheet> Pages(string title, string answer, string unit, string key, IReadOnlyList<IntervalItem> items, IReadOnlyList<(double Value, string Words)> levels, double? shownUpTo = null) =>
        Stacked(title, answer, unit, key, [("", items)], levels, shownUpTo);

    /// <summary>Draws rows of items one below the other on one scale, two on a sheet where their names are short, as many sheets as it takes.</summary>
    /// <param name="title">Title.</param>
    /// <param name="answer">What it says.</param>
    /// <param name="unit">What the value axis shows.</param>
    /// <param name="key">What full and open marks mean.</param>
    /// <param name="rows">The rows, each with its name (empty for none) and its items from left to right.</param>
    /// <param name="levels">Values to draw a line at, with words.</param>
    /// <param name="shownUpTo">Where the axis ends at most; what lies beyond is pinned there with an arrow. Null for no end.</param>
    public static IReadOnlyList<Sheet> Stacked(string title, string answer, string unit, string key, IReadOnlyList<(string Name, IReadOnlyList<IntervalItem> Items)> rows, IReadOnlyList<(double Value, string Words)> levels, double? shownUpTo = null)
    {
        double end = shownUpTo ?? double.PositiveInfinity;
        double Held(double v) => Math.Clamp(v, -end, end);
        double[] ends = [.. rows.SelectMany(r => r.Items).SelectMany(i => new[] { i.Value, i.Interval?.Low, i.Interval?.High }).OfType<double>().Select(Held), .. levels.Select(l => l.Value)];
        List<(string Name, IntervalItem[] Items)> parts = [];
        foreach ((string name, IReadOnlyList<IntervalItem> items) in rows)
        {
            int of = (items.Count + PerSheet - 1) / PerSheet, each = of == 0 ? 1 : (items.Count + of - 1) / of;
            parts.AddRange(items.Chunk(each).Select(chunk => (name, chunk)));
        }
        // Names stand turned below their panel.
        double names = 3 + 0.9 * parts.SelectMany(p => p.Items).Select(i => TextMeasure.WidthMm(i.Label, ChartStyle.Small)).DefaultIfEmpty(0).Max();
        int onSheet = names < 12 && parts.Count > 1 ? 2 : 1, sheetCount = (parts.Count + onSheet - 1) / onSheet;
        List<Sheet> sheets = [];
        for (int s = 0; s < sheetCount; s++)
        {
            List<Shape> shapes = [];
            string heading = title + (sheetCount > 1 ? Invariant($", sheet {s + 1} of {sheetCount}") : "");
            double top = ChartStyle.Head(shapes, heading, answer) + 5, pitch = (ChartStyle.HeightMm - 10 - top) / onSheet;
            for (int k = 0; k < onSheet && s * onSheet + k < parts.Count; k++)
            {
                (string name, IntervalItem[] items) = parts[s * onSheet + k];
                Box box = new(26, top + k * pitch, 297 - 26 - 40, Math.Min(pitch - names - (onSheet > 1 ? 6 : 2), 182 - top));
                Row(shapes, box, name.Length == 0 ? unit : $"{unit}; {name}", items, ends, levels, end);
            }
            ChartStyle.Foot(shapes, key);
            sheets.Add(new(ChartStyle.WidthMm, ChartStyle.HeightMm, heading, answer, shapes));
        }
        return sheets;
    }

    private static void Row(List<Shape> shapes, Box box, string name, IntervalItem[] items, double[] ends, IReadOnlyList<(double Value, string Words)> levels, double end)
    {
        double Held(double v) => Math.Clamp(v, -end, end);
        Panel panel = new(shapes, box, name, ends, items.Length);
        panel.Ticks();
        panel.Levels(levels.Select(l => new Level(l.Value, l.Words, l.Value == 0 ? ChartStyle.Centre : ChartStyle.PlanLimit)));
        for (int i = 0; i < items.Length; i++)
        {
            double x = panel.Scale.X(i + 1);
            if (items[i].Interval is Interval interval)
            {
                shapes.Add(Trail.Line(x, panel.Scale.Y(Held(interval.Low)), x, panel.Scale.Y(Held(interval.High)), new(items[i].Strong ? Palette.Black : Palette.Grey, items[i].Strong ? 0.7 : 0.35)));
                if (interval.High > end) Arrow(shapes, x, panel.Scale.Y(end));
            }
            if (items[i].Value is not double v) continue;
            Place at = panel.Scale.At(i + 1, Held(v));
            shapes.Add(new Disc(at, 1.3, new(Palette.Black, 0.35), items[i].Strong ? Palette.Blue : Palette.White));
            if (items[i].Flagged) panel.Square(at, 1.9, 0.4);
        }
        panel.Frame();
        panel.Names([.. items.Select(i => i.Label)]);
    }

    private static void Arrow(List<Shape> shapes, double x, double y) => shapes.Add(new Trail([new(x, y - 1.6), new(x - 0.9, y + 0.2), new(x + 0.9, y + 0.2)], null, Palette.Black, Closed: true));
}
