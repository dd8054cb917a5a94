using GapFlush.Capability;
using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>All control charts of one place over builds, on an A4 sheet across, over one axis of builds: individual values, moving range, EWMA, CUSUM; a second sheet where
/// readings were repeated.</summary>
/// <remarks>Signals are told by shape and word, never by colour alone: a square round a point that completes a rule, with its build; a cross through one outside the plan's limits.</remarks>
public static class SeriesChart
{
    private const double Left = 30, Right = 243;

    /// <summary>The sheets of one place.</summary>
    public static IReadOnlyList<Sheet> Pages(TrendLine line) => line.Repeats is RepeatsChart repeats && line.Trend is not null ? [Page(line), RepeatsPage(line, repeats)] : [Page(line)];

    /// <summary>Individual values and what is charted of them.</summary>
    public static Sheet Page(TrendLine line)
    {
        List<Shape> shapes = [];
        double top = Math.Max(34, ChartStyle.Head(shapes, Title(line), line.Words) + 3);
        IReadOnlyList<double> values = line.Series.Values;
        int n = values.Count;
        string unit = line.Series.Key.Characteristic.Unit;
        const double foot = 186, gap = 6;
        double room = foot - top - (line.Trend is null ? 0 : 3 * gap);
        Box box = new(Left, top, Right - Left, line.Trend is null ? room : room * 0.42);
        Panel individuals = new(shapes, box, $"{line.Series.Key.Characteristic.Words}, {unit}: one value a build", [.. values, .. Levels(line).Select(l => l.Value)], n);
        Background(shapes, individuals, box, line);
        individuals.Ticks();
        individuals.Levels(Levels(line));
        if (line.Trend is { Drifts: true, Trend: { } drift }) individuals.Line([.. Enumerable.Range(1, n).Select(i => drift.InterceptOfMedians + drift.Slope * i)], new(Palette.Black, 0.3, [0.8, 0.8]));
        individuals.Line(values, ChartStyle.Line, 0.9);
        foreach (int i in line.Outside) individuals.Cross(individuals.Scale.At(i, values[i - 1]), 1.7, 0.45);
        individuals.Signals(Points(line, ["individuals"]).Select(i => (i, values[i - 1], line.Series.Builds[i - 1])));
        individuals.Frame();
        Panel last = individuals;
        if (line.Trend is ProcessTrend t)
        {
            box = new(Left, box.Bottom + gap, Right - Left, room * 0.16);
            Panel ranges = new(shapes, box, $"moving range, {unit}: from one build to the next", [0, .. t.Individuals.MovingRanges, t.Individuals.RangeUpper], n);
            ranges.Ticks();
            ranges.Levels([new(t.Individuals.RangeUpper, Invariant($"upper chart limit {t.Individuals.RangeUpper:0.000}"), ChartStyle.ControlLimit), new(t.Individuals.MeanMovingRange, Invariant($"mean {t.Individuals.MeanMovingRange:0.000}"), ChartStyle.Centre)]);
            ranges.Line(t.Individuals.MovingRanges, ChartStyle.Line, 0.8, first: 2);
            ranges.Signals(Points(line, ["moving range"]).Select(i => (i, t.Individuals.MovingRanges[i - 2], line.Series.Builds[i - 1])));
            ranges.Frame();
            box = new(Left, box.Bottom + gap, Right - Left, room * 0.21);
            (double Lower, double Upper)[] limits = [.. Enumerable.Range(1, n).Select(t.Ewma.LimitsAt)];
            Panel ewma = new(shapes, box, $"EWMA, {unit}: moving average that forgets; sees small lasting shifts", [.. t.Ewma.Averages, .. limits.SelectMany(l => new[] { l.Lower, l.Upper })], n);
            ewma.Ticks();
            ewma.Levels([new(t.Ewma.Target, Invariant($"centre {t.Ewma.Target:0.000}"), ChartStyle.Centre)]);
            ewma.Steps([.. limits.Select(l => l.Upper)], ChartStyle.ControlLimit);
            ewma.Steps([.. limits.Select(l => l.Lower)], ChartStyle.ControlLimit);
            ewma.Line(t.Ewma.Averages, ChartStyle.Line, 0.8);
            ewma.Signals(Points(line, ["EWMA"]).Select(i => (i, t.Ewma.Averages[i - 1], line.Series.Builds[i - 1])));
            ewma.Frame();
            box = new(Left, box.Bottom + gap, Right - Left, room * 0.21);
            double[] down = [.. t.Cusum.Lower.Select(v => -v)];
            Panel cusum = new(shapes, box, "CUSUM, in sigma: sum of what lies above the centre (full line), below it (broken line)", [t.Cusum.Decision, -t.Cusum.Decision, .. t.Cusum.Upper, .. down], n);
            cusum.Ticks();
            cusum.Levels([new(t.Cusum.Decision, Invariant($"upper chart limit {t.Cusum.Decision:0.#}"), ChartStyle.ControlLimit), new(-t.Cusum.Decision, Invariant($"lower chart limit -{t.Cusum.Decision:0.#}"), ChartStyle.ControlLimit), new(0, "", ChartStyle.Centre)]);
            cusum.Line(t.Cusum.Upper, ChartStyle.Line, 0.8);
            cusum.Line(down, ChartStyle.SecondLine);
            cusum.Signals([.. t.Cusum.SignalsUpper.Select(i => (i, t.Cusum.Upper[i - 1], line.Series.Builds[i - 1])), .. t.Cusum.SignalsLower.Select(i => (i, down[i - 1], line.Series.Builds[i - 1]))]);
            cusum.Frame();
            last = cusum;
        }
        last.Names(line.Series.Builds);
        ChartStyle.Foot(shapes, Note(line));
        return new(ChartStyle.WidthMm, ChartStyle.HeightMm, Title(line), line.Words, shapes);
    }

    private static Sheet RepeatsPage(TrendLine line, RepeatsChart repeats)
    {
        List<Shape> shapes = [];
        string words = (repeats.Signals.Count == 0 ? "No signal from repeated readings" : "Look into it: " + string.Join("; ", repeats.Signals.Select(s => $"{s.Chart}: {s.Rule} at {line.Named(s.Points)}"))) + ". "
            + (repeats.JudgesMeans ? "Builds differ by no more than reading again explains." : "Builds differ by more than reading again explains, so means beyond these limits say just that; the chart of one value a build judges stability.");
        string title = Title(line) + Invariant($", {repeats.Size} repeats a build");
        double top = Math.Max(36, ChartStyle.Head(shapes, title, words) + 3), room = 186 - top - 8;
        string[] names = [.. repeats.Points.Select(p => line.Series.Builds[p - 1])];
        int n = names.Length;
        string unit = line.Series.Key.Characteristic.Unit, spread = repeats.UsesRanges ? "R" : "S";
        ILookup<string, int> at = repeats.Signals.SelectMany(s => s.Points.Select(p => (s.Chart, Number: repeats.Points.ToList().IndexOf(p) + 1))).ToLookup(s => s.Chart, s => s.Number);
        Box box = new(Left, top, Right - Left, room * 0.6);
        (double lower, double upper) = repeats.MeanLimits;
        Panel means = new(shapes, box, $"X-bar, {unit}: mean of the repeats", [.. repeats.Chart.Means, lower, upper], n);
        means.Ticks();
        means.Levels([new(upper, Invariant($"upper chart limit {upper:0.000}"), ChartStyle.ControlLimit), new(repeats.Chart.GrandMean, Invariant($"centre {repeats.Chart.GrandMean:0.000}"), ChartStyle.Centre), new(lower, Invariant($"lower chart limit {lower:0.000}"), ChartStyle.ControlLimit)]);
        means.Line(repeats.Chart.Means, ChartStyle.Line, 0.9);
        means.Signals(at["X-bar"].Select(i => (i, repeats.Chart.Means[i - 1], names[i - 1])));
        means.Frame();
        box = new(Left, box.Bottom + 8, Right - Left, room * 0.4);
        (lower, upper) = repeats.SpreadLimits;
        Panel spreads = new(shapes, box, repeats.UsesRanges ? $"R, {unit}: largest less smallest of the repeats" : $"S, {unit}: standard deviation of the repeats", [0, .. repeats.Spreads, upper], n);
        spreads.Ticks();
        spreads.Levels([new(upper, Invariant($"upper chart limit {upper:0.000}"), ChartStyle.ControlLimit), new(repeats.MeanSpread, Invariant($"mean {repeats.MeanSpread:0.000}"), ChartStyle.Centre), new(lower, lower > 0 ? Invariant($"lower chart limit {lower:0.000}") : "", ChartStyle.ControlLimit)]);
        spreads.Line(repeats.Spreads, ChartStyle.Line, 0.9);
        spreads.Signals(at[spread].Select(i => (i, repeats.Spreads[i - 1], names[i - 1])));
        spreads.Frame();
        spreads.Names(names);
        ChartStyle.Foot(shapes, "Square with a serial: completes a rule. Builds in order of making; those with another number of repeats are left out.");
        return new(ChartStyle.WidthMm, ChartStyle.HeightMm, title, words, shapes);
    }

    /// <summary>The span that limits come from, and a proven change of mean, behind the values.</summary>
    private static void Background(List<Shape> shapes, Panel panel, Box box, TrendLine line)
    {
        double half = line.Series.Values.Count > 1 ? (panel.Scale.X(2) - panel.Scale.X(1)) / 2 : 0;
        if (line.Trend is not null && line.Span is (int start, int count))
        {
            double x = panel.Scale.X(start + 1) - half, to = panel.Scale.X(start + count) + half;
            shapes.Add(Trail.Box(x, box.Top, to - x, box.Height, null, Palette.Wash));
            shapes.Add(new Lettering(new(to, box.Top - 1.3), "limits from the shaded builds", ChartStyle.Small, Anchor: to - x > 60 || to > box.Left + 150 ? Anchor.End : Anchor.Start));
        }
        if (line.Trend is { HasChanged: true, Change: ChangePoint c })
        {
            double x = panel.Scale.X(c.LastBefore) + half;
            shapes.Add(Trail.Line(x, box.Top, x, box.Bottom, new(Palette.Black, 0.3, [1.5, 1])));
            double from = panel.Scale.X(c.LastBeforeInterval.First) + half, to = panel.Scale.X(c.LastBeforeInterval.Last) + half;
            shapes.Add(Trail.Line(from, box.Bottom - 1, to, box.Bottom - 1, new(Palette.Black, 0.8)));
            bool end = x > box.Right - 30;
            shapes.Add(new Lettering(new(x + (end ? -1.2 : 1.2), box.Bottom - 2.2), "change of mean", ChartStyle.Small, Anchor: end ? Anchor.End : Anchor.Start));
        }
    }

    private static int[] Points(TrendLine line, IReadOnlyList<string> charts) => [.. line.Signals.Where(s => charts.Contains(s.Chart)).SelectMany(s => s.Points).Distinct().Order()];

    internal static IEnumerable<Level> Levels(TrendLine line)
    {
        if (line.Trend is ProcessTrend t)
        {
            yield return new(t.Individuals.Upper, Invariant($"upper chart limit {t.Individuals.Upper:0.000}"), ChartStyle.ControlLimit);
            yield return new(t.Individuals.Centre, Invariant($"centre {t.Individuals.Centre:0.000}"), ChartStyle.Centre);
            yield return new(t.Individuals.Lower, Invariant($"lower chart limit {t.Individuals.Lower:0.000}"), ChartStyle.ControlLimit);
        }
        if (line.Limits?.Upper is double upper) yield return new(upper, Invariant($"plan's upper limit {upper:0.00}"), ChartStyle.PlanLimit);
        if (line.Limits?.Lower is double lower) yield return new(lower, Invariant($"plan's lower limit {lower:0.00}"), ChartStyle.PlanLimit);
    }

    internal static string Title(TrendLine line)
    {
        SeriesKey k = line.Series.Key;
        return string.Join(", ", new[] { $"{k.PlaceWords} {k.Characteristic.Words}{(k.Station is not null && k.Zone is not null ? $" ({k.Zone})" : "")}", k.MouldWords, k.Stage is null ? "" : $"stage {k.Stage}" }.Where(t => t.Length > 0));
    }

    private static string Note(TrendLine line) => "Square with a serial: completes a rule. Cross: outside the plan's limits. Builds in order of making."
        + (line.Trend is { Drifts: true } ? " Dotted slope: drift." : "") + (line.Trend is { HasChanged: true } ? " Thick bar: where the change lies, about 95 %." : "");
}
