using GapFlush.Reports.Drawing;
using GapFlush.Statistics;

namespace GapFlush.Reports.Charts;

/// <summary>One row of an interval chart.</summary>
/// <param name="Label">Name of the place.</param>
/// <param name="Value">Estimate, or null where there is none.</param>
/// <param name="Interval">Its interval, or null.</param>
/// <param name="Strong">True for a full mark, false for an open one.</param>
public sealed record IntervalItem(string Label, double? Value, Interval? Interval, bool Strong);

/// <summary>Estimates with their intervals in a row, such as Ppk or differences round a door: A4 sheets across.</summary>
public static class IntervalChart
{
    private const double Width = 297, Height = 210;
    private const int PerSheet = 60;

    /// <summary>Draws the chart, as many sheets as it takes.</summary>
    /// <param name="title">Title.</param>
    /// <param name="answer">What it says, one line.</param>
    /// <param name="unit">Words at the value axis.</param>
    /// <param name="key">What full and open marks mean.</param>
    /// <param name="items">The items from left to right.</param>
    /// <param name="levels">Values to draw a line at, with words.</param>
    public static IReadOnlyList<Sheet> Pages(string title, string answer, string unit, string key, IReadOnlyList<IntervalItem> items, IReadOnlyList<(double Value, string Words)> levels)
    {
        List<Sheet> sheets = [];
        for (int start = 0; start < items.Count; start += PerSheet)
        {
            IntervalItem[] here = [.. items.Skip(start).Take(PerSheet)];
            Box box = new(30, 36, Width - 30 - 40, Height - 36 - 50);
            List<Shape> shapes = [new Lettering(new(15, 16), title, 4, Weight.Semibold), new Lettering(new(15, 25), answer.Length > 150 ? answer[..147] + "..." : answer, 2.8)];
            double[] ends = [.. items.SelectMany(i => new[] { i.Value, i.Interval?.Low, i.Interval?.High }).OfType<double>(), .. levels.Select(l => l.Value)];
            Scale scale = new(box, ends, here.Length);
            foreach (double tick in scale.Ticks())
            {
                shapes.Add(Trail.Line(box.Left, scale.Y(tick), box.Right, scale.Y(tick), new(Palette.Light, 0.2)));
                shapes.Add(new Lettering(new(box.Left - 2, scale.Y(tick) + 1), tick.ToString("F" + scale.Decimals), 2.5, Anchor: Anchor.End));
            }
            foreach ((double value, string words) in levels)
            {
                shapes.Add(Trail.Line(box.Left, scale.Y(value), box.Right, scale.Y(value), new(Palette.Black, 0.5, [5, 2])));
                shapes.Add(new Lettering(new(box.Right + 2, scale.Y(value) + 1), words, 2.5));
            }
            for (int i = 0; i < here.Length; i++)
            {
                shapes.Add(new Lettering(new(scale.X(i + 1) + 1, box.Bottom + 3), here[i].Label, 2.5, TurnDeg: 60));
                if (here[i].Interval is Interval interval) shapes.Add(Trail.Line(scale.X(i + 1), scale.Y(interval.Low), scale.X(i + 1), scale.Y(interval.High), new(here[i].Strong ? Palette.Black : Palette.Grey, here[i].Strong ? 0.7 : 0.35)));
                if (here[i].Value is double v) shapes.Add(new Disc(scale.At(i + 1, v), 1.3, new(Palette.Black, 0.35), here[i].Strong ? Palette.Blue : Palette.White));
            }
            shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, new(Palette.Black, 0.35)));
            shapes.Add(new Lettering(new(12, box.Centre.Y), unit, 2.8, Anchor: Anchor.Middle, TurnDeg: -90));
            shapes.Add(new Lettering(new(15, Height - 8), key, 2.5, Ink: Palette.Grey));
            sheets.Add(new(Width, Height, title, answer, shapes));
        }
        return sheets;
    }
}
