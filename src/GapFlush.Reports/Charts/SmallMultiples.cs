using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>Many small charts of individual values on one sheet, in the order round the door outline, so that a whole door is read at once.</summary>
public static class SmallMultiples
{
    private const int Across = 6, Down = 6, PerSheet = Across * Down;

    /// <summary>As many sheets as it takes.</summary>
    /// <param name="title">Title.</param>
    /// <param name="lines">The places, in the order of the plan.</param>
    public static IReadOnlyList<Sheet> Pages(string title, IReadOnlyList<TrendLine> lines)
    {
        List<Sheet> sheets = [];
        int of = (lines.Count + PerSheet - 1) / PerSheet;
        for (int start = 0; start < lines.Count; start += PerSheet)
        {
            TrendLine[] here = [.. lines.Skip(start).Take(PerSheet)];
            int signals = here.Count(l => l.HasSignal);
            string words = (signals == 0 ? "No chart on this sheet signals." : $"Signals at {string.Join(", ", here.Where(l => l.HasSignal).Select(Name))}.") + " In the order round the door outline.";
            List<Shape> shapes = [];
            string heading = title + (of > 1 ? Invariant($", sheet {start / PerSheet + 1} of {of}") : "");
            double top = ChartStyle.Head(shapes, heading, words, 2), pitch = (ChartStyle.HeightMm - 12 - top) / Down, width = (ChartStyle.RightMm - ChartStyle.LeftMm) / Across;
            for (int i = 0; i < here.Length; i++) Cell(shapes, here[i], new(ChartStyle.LeftMm + i % Across * width, top + i / Across * pitch, width - 3, pitch - 2.5));
            ChartStyle.Foot(shapes, "Each box has its own scale. Grey dashes: chart limits. Black dashes: the plan's limits. Square: completes a rule. Cross: outside the plan's limits.");
            sheets.Add(new(ChartStyle.WidthMm, ChartStyle.HeightMm, heading, words, shapes));
        }
        return sheets;
    }

    private static string Name(TrendLine line) => line.Series.Key.Station ?? line.Series.Key.Zone ?? line.Series.Key.Door;

    private static void Cell(List<Shape> shapes, TrendLine line, Box cell)
    {
        const double head = 4.6;
        Box box = new(cell.Left, cell.Top + head, cell.Width, cell.Height - head);
        IReadOnlyList<double> values = line.Series.Values;
        Level[] levels = [.. SeriesChart.Levels(line)];
        Panel panel = new(shapes, box, "", [.. values, .. levels.Select(l => l.Value)], values.Count);
        string words = line.Trend is null ? "not charted" : line.HasSignal ? "signal" : line.Trend.HasChanged ? "changed" : line.Trend.Drifts ? "drifts" : line.Outside.Count > 0 ? "outside" : "";
        shapes.Add(new Lettering(new(cell.Left, cell.Top + 3.4), TextMeasure.Fit($"{Name(line)} {words}".TrimEnd(), cell.Width, ChartStyle.Small, line.HasSignal ? Weight.Semibold : Weight.Regular), ChartStyle.Small, line.HasSignal ? Weight.Semibold : Weight.Regular));
        foreach (Level l in levels) shapes.Add(Trail.Line(box.Left, panel.Scale.Y(l.Value), box.Right, panel.Scale.Y(l.Value), l.Stroke with { WidthMm = l.Stroke.WidthMm / 2, DashMm = l.Stroke.DashMm is null ? null : [1.5, 0.8] }));
        panel.Line(values, ChartStyle.Line with { WidthMm = 0.2 }, 0.4);
        HashSet<int> marked = [.. line.Signals.SelectMany(s => s.Points)];
        foreach (int i in marked) panel.Square(panel.Scale.At(i, values[i - 1]), 0.85, 0.2);
        foreach (int i in line.Outside) panel.Cross(panel.Scale.At(i, values[i - 1]), 0.85, 0.25);
        shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, new(line.HasSignal ? Palette.Black : Palette.Light, line.HasSignal ? 0.5 : 0.25)));
    }
}
