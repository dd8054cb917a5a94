using GapFlush.Reports.Drawing;
using GapFlush.Workflows;

namespace GapFlush.Reports.Charts;

/// <summary>What costs most rework: bars from the longest down, each with its count and the share of all rework down to it.</summary>
public static class ParetoChart
{
    private const double Width = 176, Row = 6.2, Head = 6, LabelWidth = 66, WordsWidth = 46;

    /// <summary>Draws the longest bars; what is left out is told.</summary>
    public static Sheet Draw(IReadOnlyList<ReworkCount> rework, int most = 24)
    {
        ReworkCount[] shown = [.. rework.Take(most)];
        List<Shape> shapes =
        [
            new Lettering(new(0, 3.5), "zone and characteristic", ChartStyle.Small, Weight.Semibold),
            new Lettering(new(Width, 3.5), "places to rework, builds, share down to here", ChartStyle.Small, Weight.Semibold, Anchor.End),
        ];
        double room = Width - LabelWidth - WordsWidth, largest = shown.Max(r => r.Count), y = Head;
        foreach (ReworkCount r in shown)
        {
            double length = Math.Max(0.6, room * r.Count / largest);
            shapes.Add(new Lettering(new(0, y + 4), TextMeasure.Fit(r.Words, LabelWidth - 2, ChartStyle.Small), ChartStyle.Small));
            shapes.Add(Trail.Box(LabelWidth, y + 0.9, length, Row - 1.8, null, Palette.Blue));
            shapes.Add(new Lettering(new(LabelWidth + length + 2, y + 4), Invariant($"{r.Count} on {r.Builds} build{(r.Builds == 1 ? "" : "s")}, {100 * r.UpToHere:0} %"), ChartStyle.Small));
            y += Row;
        }
        shapes.Add(Trail.Line(LabelWidth, Head, LabelWidth, y, ChartStyle.Frame));
        if (rework.Count > shown.Length)
        {
            shapes.Add(new Lettering(new(0, y + 4), Invariant($"and {rework.Count - shown.Length} more with {rework.Skip(most).Sum(r => r.Count)} places"), ChartStyle.Small, Ink: Palette.Grey));
            y += Row;
        }
        return new(Width, y + 1, "What costs most rework", Invariant($"{shown[0].Words} comes first with {shown[0].Count} places on {shown[0].Builds} builds."), shapes);
    }
}
