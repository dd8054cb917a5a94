using GapFlush.Capability;
using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>The chart of single values of one place over builds, an A4 sheet across, and many of them small on one sheet.</summary>
/// <remarks>Signals are told by shape and word, never by colour alone: a square round a point that completes a rule, a cross through one outside the plan's limits.</remarks>
public static class SeriesChart
{
    private const double Width = 297, Height = 210;
    private static readonly Stroke Thin = new(Palette.Light, 0.2), Axis = new(Palette.Black, 0.35), Line = new(Palette.Blue, 0.4), ControlLimit = new(Palette.Grey, 0.35, [3, 1.5]), PlanLimit = new(Palette.Black, 0.6, [6, 2]), Mark = new(Palette.Black, 0.45);

    /// <summary>One place.</summary>
    public static Sheet Page(TrendLine line)
    {
        Box box = new(32, 40, Width - 32 - 48, Height - 40 - 46);
        List<Shape> shapes =
        [
            new Lettering(new(15, 18), Title(line), 4.2, Weight.Semibold),
            new Lettering(new(15, 27), Verdict(line), 3),
        ];
        IReadOnlyList<double> values = line.Series.Values;
        Scale scale = new(box, [.. values, .. Levels(line).Select(l => l.Value)], values.Count);
        foreach (double tick in scale.Ticks())
        {
            shapes.Add(Trail.Line(box.Left, scale.Y(tick), box.Right, scale.Y(tick), Thin));
            shapes.Add(new Lettering(new(box.Left - 2, scale.Y(tick) + 1), tick.ToString("F" + scale.Decimals), 2.5, Anchor: Anchor.End));
        }
        shapes.Add(new Lettering(new(13, box.Centre.Y), $"{line.Series.Key.Characteristic.Words}, {line.Series.Key.Characteristic.Unit}", 2.8, Anchor: Anchor.Middle, TurnDeg: -90));
        double above = double.NegativeInfinity;
        foreach ((double value, string words, Stroke stroke) in Levels(line).OrderByDescending(l => l.Value))
        {
            shapes.Add(Trail.Line(box.Left, scale.Y(value), box.Right, scale.Y(value), stroke));
            // Labels that would stand on one another step down.
            above = Math.Max(scale.Y(value) + 1, above + 4);
            shapes.Add(new Lettering(new(box.Right + 2, above), Invariant($"{words} {value:0.00}"), 2.5));
        }
        shapes.AddRange(Plot(line, scale, 1.1));
        int every = Math.Max(1, (int)Math.Ceiling(values.Count / 24.0));
        for (int i = 0; i < values.Count; i += every) shapes.Add(new Lettering(new(scale.X(i + 1) + 1, box.Bottom + 3), line.Series.Builds[i], 2.5, TurnDeg: 60));
        shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, Axis));
        shapes.Add(new Lettering(new(15, Height - 10), "Square: completes a rule. Cross: outside the plan's limits. Builds in order of making.", 2.5, Ink: Palette.Grey));
        return new(Width, Height, Title(line), Verdict(line), shapes);
    }

    /// <summary>Many places on one sheet, in the order given: that of the plan goes round the door outline, so a whole door is read at once.</summary>
    public static IReadOnlyList<Sheet> SmallMultiples(string title, IReadOnlyList<TrendLine> lines)
    {
        const int across = 6, down = 7, perSheet = across * down;
        List<Sheet> sheets = [];
        for (int start = 0; start < lines.Count; start += perSheet)
        {
            List<Shape> shapes = [new Lettering(new(15, 15), title + (lines.Count > perSheet ? Invariant($", sheet {start / perSheet + 1}") : ""), 3.6, Weight.Semibold)];
            TrendLine[] here = [.. lines.Skip(start).Take(perSheet)];
            for (int i = 0; i < here.Length; i++)
            {
                Box cell = new(15 + i % across * 45, 20 + i / across * 26, 42, 23), box = new(cell.Left, cell.Top + 5, cell.Width, cell.Height - 5);
                TrendLine line = here[i];
                Scale scale = new(box, [.. line.Series.Values, .. Levels(line).Select(l => l.Value)], line.Series.Values.Count);
                shapes.Add(new Lettering(new(cell.Left, cell.Top + 3.6), (line.Series.Key.Station ?? line.Series.Key.Zone ?? line.Series.Key.Door) + (line.Trend?.HasSignal == true ? " signal" : ""), 2.5, line.Trend?.HasSignal == true ? Weight.Semibold : Weight.Regular));
                foreach ((double value, _, Stroke stroke) in Levels(line)) shapes.Add(Trail.Line(box.Left, scale.Y(value), box.Right, scale.Y(value), stroke with { WidthMm = stroke.WidthMm / 2, DashMm = stroke.DashMm is null ? null : [1.5, 0.8] }));
                shapes.AddRange(Plot(line, scale, 0.5));
                shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, new(line.Trend?.HasSignal == true ? Palette.Black : Palette.Light, line.Trend?.HasSignal == true ? 0.6 : 0.25)));
            }
            shapes.Add(new Lettering(new(15, Height - 6), "Each box has its own scale. Short dashes: chart limits. Long dashes: the plan's limits.", 2.5, Ink: Palette.Grey));
            sheets.Add(new(Width, Height, title, Invariant($"{here.Length} small charts in the order round the door outline."), shapes));
        }
        return sheets;
    }

    private static IEnumerable<Shape> Plot(TrendLine line, Scale scale, double radius)
    {
        IReadOnlyList<double> values = line.Series.Values;
        HashSet<int> signals = [.. line.Trend?.Signals.Where(s => s.Chart is "individuals" or "moving range").SelectMany(s => s.Points) ?? []];
        yield return new Trail([.. values.Select((v, i) => scale.At(i + 1, v))], Line with { WidthMm = 0.36 * radius });
        for (int i = 0; i < values.Count; i++)
        {
            Place at = scale.At(i + 1, values[i]);
            yield return new Disc(at, 0.8 * radius, null, Palette.Blue);
            double r = 1.7 * radius;
            if (signals.Contains(i + 1)) yield return Trail.Box(at.X - r, at.Y - r, 2 * r, 2 * r, Mark with { WidthMm = 0.4 * radius });
            if (line.Limits?.Excess(values[i]) > 0)
            {
                yield return Trail.Line(at.X - r, at.Y - r, at.X + r, at.Y + r, Mark with { WidthMm = 0.4 * radius });
                yield return Trail.Line(at.X - r, at.Y + r, at.X + r, at.Y - r, Mark with { WidthMm = 0.4 * radius });
            }
        }
    }

    private static IEnumerable<(double Value, string Words, Stroke Stroke)> Levels(TrendLine line)
    {
        if (line.Trend is ProcessTrend t)
        {
            yield return (t.Individuals.Upper, "upper chart limit", ControlLimit);
            yield return (t.Individuals.Centre, "centre", new(Palette.Grey, 0.35));
            yield return (t.Individuals.Lower, "lower chart limit", ControlLimit);
        }
        if (line.Limits?.Upper is double upper) yield return (upper, "upper limit", PlanLimit);
        if (line.Limits?.Lower is double lower) yield return (lower, "lower limit", PlanLimit);
    }

    private static string Title(TrendLine line)
    {
        SeriesKey k = line.Series.Key;
        return string.Join(", ", new[] { $"{k.PlaceWords} {k.Characteristic.Words}", k.MouldWords, k.Stage is null ? "" : $"stage {k.Stage}" }.Where(t => t.Length > 0));
    }

    private static string Verdict(TrendLine line) => line.Trend is not ProcessTrend t ? "Not charted: fewer than four builds, or no spread."
        : t.HasSignal ? "Look into it: " + string.Join("; ", t.Signals.Take(3).Select(s => $"{s.Chart}: {s.Rule} at {string.Join(", ", s.Points.Take(3).Select(p => line.Series.Builds[p - 1]))}{(s.Points.Count > 3 ? ", ..." : "")}")) + "."
        : Invariant($"Stable: no chart signals over {line.Series.Values.Count} builds.");
}
