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
    public static IReadOnlyList<Sheet> Pages(string title, string answer, string unit, string key, IReadOnlyList<IntervalItem> items, IReadOnlyList<(double Value, string Words)> levels, double? shownUpTo = null)
    {
        List<Sheet> sheets = [];
        double end = shownUpTo ?? double.PositiveInfinity;
        double Held(double v) => Math.Clamp(v, -end, end);
        double[] ends = [.. items.SelectMany(i => new[] { i.Value, i.Interval?.Low, i.Interval?.High }).OfType<double>().Select(Held), .. levels.Select(l => l.Value)];
        int of = (items.Count + PerSheet - 1) / PerSheet, each = of == 0 ? 0 : (items.Count + of - 1) / of;
        for (int start = 0; start < items.Count; start += each)
        {
            IntervalItem[] here = [.. items.Skip(start).Take(each)];
            List<Shape> shapes = [];
            string heading = title + (of > 1 ? Invariant($", sheet {start / each + 1} of {of}") : "");
            double top = ChartStyle.Head(shapes, heading, answer) + 5;
            Box box = new(26, top, 297 - 26 - 40, 182 - top);
            Panel panel = new(shapes, box, unit, ends, here.Length);
            panel.Ticks();
            panel.Levels(levels.Select(l => new Level(l.Value, l.Words, l.Value == 0 ? ChartStyle.Centre : ChartStyle.PlanLimit)));
            for (int i = 0; i < here.Length; i++)
            {
                double x = panel.Scale.X(i + 1);
                if (here[i].Interval is Interval interval)
                {
                    shapes.Add(Trail.Line(x, panel.Scale.Y(Held(interval.Low)), x, panel.Scale.Y(Held(interval.High)), new(here[i].Strong ? Palette.Black : Palette.Grey, here[i].Strong ? 0.7 : 0.35)));
                    if (interval.High > end) Arrow(shapes, x, panel.Scale.Y(end));
                }
                if (here[i].Value is not double v) continue;
                Place at = panel.Scale.At(i + 1, Held(v));
                shapes.Add(new Disc(at, 1.3, new(Palette.Black, 0.35), here[i].Strong ? Palette.Blue : Palette.White));
                if (here[i].Flagged) panel.Square(at, 1.9, 0.4);
            }
            panel.Frame();
            panel.Names([.. here.Select(i => i.Label)]);
            ChartStyle.Foot(shapes, key);
            sheets.Add(new(ChartStyle.WidthMm, ChartStyle.HeightMm, heading, answer, shapes));
        }
        return sheets;
    }

    private static void Arrow(List<Shape> shapes, double x, double y) => shapes.Add(new Trail([new(x, y - 1.6), new(x - 0.9, y + 0.2), new(x + 0.9, y + 0.2)], null, Palette.Black, Closed: true));
}
