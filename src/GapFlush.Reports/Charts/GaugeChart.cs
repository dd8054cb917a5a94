using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>What each inspector read at each place, less the place's mean: who reads high, who scatters. Each inspector has a mark of another form.</summary>
public static class GaugeChart
{
    private const double Width = 176, Height = 84;

    /// <summary>Draws the chart.</summary>
    public static Sheet Draw(GaugeLine line)
    {
        List<Shape> shapes = [];
        string[] places = [.. line.Cells.Select(c => c.Place).Distinct()], people = [.. line.Cells.Select(c => c.Inspector).Distinct()];
        Box box = new(14, 12, Width - 16, Height - 30);
        double x = box.Left;
        for (int i = 0; i < people.Length; i++)
        {
            Mark(shapes, i, new(x + 1.5, 2.3));
            shapes.Add(new Lettering(new(x + 4.5, 3.5), people[i], ChartStyle.Small));
            x += TextMeasure.WidthMm(people[i], ChartStyle.Small) + 11;
        }
        Panel panel = new(shapes, box, $"reading less the mean of its place, {line.Characteristic.Unit}; bar: mean of the inspector at the place", [0, .. line.Cells.SelectMany(c => c.FromPlaceMean)], places.Length);
        panel.Ticks();
        panel.Levels([new(0, "", ChartStyle.Centre)]);
        double step = people.Length > 1 ? 0.6 / (people.Length - 1) : 0, width = places.Length > 1 ? panel.Scale.X(2) - panel.Scale.X(1) : box.Width;
        foreach (GaugeCell c in line.Cells)
        {
            int who = Array.IndexOf(people, c.Inspector);
            double at = panel.Scale.X(Array.IndexOf(places, c.Place) + 1) + (people.Length > 1 ? who * step - 0.3 : 0) * width;
            foreach (double v in c.FromPlaceMean) Mark(shapes, who, new(at, panel.Scale.Y(v)));
            double y = panel.Scale.Y(c.FromPlaceMean.Average());
            shapes.Add(Trail.Line(at - 1.7, y, at + 1.7, y, new(Palette.Black, 0.4)));
        }
        for (int i = 1; i < places.Length; i++) shapes.Add(Trail.Line(panel.Scale.X(i) + width / 2, box.Top, panel.Scale.X(i) + width / 2, box.Bottom, ChartStyle.Grid));
        panel.Frame();
        panel.Names(places);
        return new(Width, Height, $"Readings of {GaugeStudyRun.Name(line)}", "What each inspector read at each place, less the mean of the place.", shapes);
    }

    private static void Mark(List<Shape> shapes, int who, Place at)
    {
        Stroke line = new(Palette.Blue, 0.3);
        shapes.Add((who % 4) switch
        {
            0 => new Disc(at, 0.9, null, Palette.Blue),
            1 => Trail.Box(at.X - 0.9, at.Y - 0.9, 1.8, 1.8, line, Palette.White),
            2 => new Trail([new(at.X, at.Y - 1.1), new(at.X + 1.05, at.Y + 0.8), new(at.X - 1.05, at.Y + 0.8)], line, Palette.White, Closed: true),
            _ => new Disc(at, 0.9, line, Palette.White),
        });
    }
}
