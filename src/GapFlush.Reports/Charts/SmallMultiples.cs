using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>Many small charts of individual values on one sheet, in the order round the door outline, so that a whole door is read at once.</summary>
/// <remarks>One box a place. Mould revisions stand in it side by side in order of making, each with chart limits of its own and a line between them: they are shown together, never mixed.</remarks>
public static class SmallMultiples
{
    private const int MostOnSheet = 60;

    /// <summary>As many sheets as it takes; up to sixty places stand on one.</summary>
    /// <param name="title">Title.</param>
    /// <param name="lines">The places, in the order of the plan, all their mould revisions; within a place the newest first.</param>
    public static IReadOnlyList<Sheet> Pages(string title, IReadOnlyList<TrendLine> lines)
    {
        TrendLine[][] places = [.. lines.GroupBy(l => (l.Series.Key.Zone, l.Series.Key.Station, l.Series.Key.Characteristic)).Select(g => g.Reverse().ToArray())];
        bool naming = places.Select(p => p[0].Series.Key.Characteristic).Distinct().Count() > 1;
        string[] moulds = [.. lines.Any(l => l.Series.Key.MouldWords.Length > 0) ? lines.Reverse().Select(l => l.Series.Key.MouldWords.Length == 0 ? "not known" : $"{l.Series.Key.DoorMould ?? "?"} / {l.Series.Key.SurroundMould ?? "?"}").Distinct() : []];
        string order = moulds.Length > 1 ? $"Moulds (door / surround) from left to right: {string.Join(", then ", moulds)}. " : moulds.Length == 1 ? $"Moulds (door / surround): {moulds[0]}. " : "";
        int of = (places.Length + MostOnSheet - 1) / MostOnSheet, each = of == 0 ? 0 : (places.Length + of - 1) / of;
        (int across, int down) = each <= 20 ? (4, 5) : each <= 36 ? (6, 6) : each <= 54 ? (9, 6) : (10, 6);
        List<Sheet> sheets = [];
        for (int start = 0; start < places.Length; start += each)
        {
            TrendLine[][] here = [.. places.Skip(start).Take(each)];
            string[] signals = [.. here.Where(p => p.Any(l => l.HasSignal)).Select(p => Name(p[0], naming))];
            string words = order + (signals.Length == 0 ? "No chart on this sheet signals." : Invariant($"{signals.Length} of {here.Length} signal: {string.Join(", ", signals)}."));
            List<Shape> shapes = [];
            string heading = title + (of > 1 ? Invariant($", sheet {start / each + 1} of {of}") : "");
            double top = ChartStyle.Head(shapes, heading, words, 2), pitch = (ChartStyle.HeightMm - 14 - top) / down, width = (ChartStyle.RightMm - ChartStyle.LeftMm) / across;
            string? zone = null;
            for (int i = 0; i < here.Length; i++)
            {
                SeriesKey key = here[i][0].Series.Key;
                Cell(shapes, here[i], Name(here[i][0], naming), key.Station is not null && key.Zone != zone ? key.Zone : null, new(ChartStyle.LeftMm + i % across * width, top + i / across * pitch, width - 2.4, pitch - 2));
                zone = key.Zone;
            }
            ChartStyle.Foot(shapes, "In the order round the door outline; each box has its own scale. Grey: centre and chart limits. Black dashes: the plan's limits. Square: completes a rule. Cross: outside the plan's limits. Line from top to bottom: another mould. Heavy frame: a chart signals.");
            sheets.Add(new(ChartStyle.WidthMm, ChartStyle.HeightMm, heading, words, shapes));
        }
        return sheets;
    }

    private static string Name(TrendLine line, bool naming)
    {
        SeriesKey key = line.Series.Key;
        string place = key.Station ?? key.Zone ?? "";
        return !naming ? place.Length > 0 ? place : key.Door : $"{place} {key.Characteristic.Words}".Trim();
    }

    private static void Cell(List<Shape> shapes, TrendLine[] revisions, string name, string? zone, Box cell)
    {
        const double head = 4.6;
        Box box = new(cell.Left, cell.Top + head, cell.Width, cell.Height - head);
        bool signal = revisions.Any(l => l.HasSignal);
        string words = signal ? "signal" : revisions.Any(l => l.Trend is { HasChanged: true }) ? "changed" : revisions.Any(l => l.Trend is { Drifts: true }) ? "drifts" : revisions.Any(l => l.Outside.Count > 0) ? "outside" : revisions.All(l => l.Trend is null) ? "not charted" : "";
        Weight weight = signal ? Weight.Semibold : Weight.Regular;
        // The zone is named where it begins, if there is room for it.
        string[] heads = zone is null ? [$"{name} {words}"] : [$"{zone} {name} {words}", $"{zone} {name}", $"{name} {words}"];
        string told = heads.FirstOrDefault(h => TextMeasure.WidthMm(h.TrimEnd(), ChartStyle.Small, weight) <= cell.Width) ?? heads[^1];
        shapes.Add(new Lettering(new(cell.Left, cell.Top + 3.4), TextMeasure.Fit(told.TrimEnd(), cell.Width, ChartStyle.Small, weight), ChartStyle.Small, weight));
        int count = revisions.Sum(l => l.Series.Values.Count), before = 0;
        Panel panel = new(shapes, box, "", [.. revisions.SelectMany(l => l.Series.Values), .. revisions.SelectMany(SeriesChart.Levels).Select(l => l.Value)], count);
        foreach (TrendLine line in revisions)
        {
            IReadOnlyList<double> values = line.Series.Values;
            double left = before == 0 ? box.Left : (panel.Scale.X(before) + panel.Scale.X(before + 1)) / 2, right = before + values.Count == count ? box.Right : (panel.Scale.X(before + values.Count) + panel.Scale.X(before + values.Count + 1)) / 2;
            if (before > 0) shapes.Add(Trail.Line(left, box.Top, left, box.Bottom, new(Palette.Black, 0.3)));
            foreach (Level l in SeriesChart.Levels(line)) shapes.Add(Trail.Line(left, panel.Scale.Y(l.Value), right, panel.Scale.Y(l.Value), l.Stroke with { WidthMm = l.Stroke.WidthMm / 2, DashMm = l.Stroke.DashMm is null ? null : [1.5, 0.8] }));
            panel.Line(values, ChartStyle.Line with { WidthMm = 0.2 }, 0.35, first: before + 1);
            foreach (int i in line.Signals.SelectMany(s => s.Points).Distinct()) panel.Square(panel.Scale.At(before + i, values[i - 1]), 0.8, 0.2);
            foreach (int i in line.Outside) panel.Cross(panel.Scale.At(before + i, values[i - 1]), 0.8, 0.25);
            before += values.Count;
        }
        shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, new(signal ? Palette.Black : Palette.Light, signal ? 0.5 : 0.25)));
    }
}
