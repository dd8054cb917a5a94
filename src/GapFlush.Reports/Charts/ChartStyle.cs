using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Charts;

/// <summary>Lines and sizes that all charts share.</summary>
internal static class ChartStyle
{
    public const double Small = Lettering.LeastMm, Body = 2.9, Title = 4.2;

    public const double WidthMm = 297, HeightMm = 210, LeftMm = 15, RightMm = WidthMm - 15;

    public static readonly Stroke Grid = new(Palette.Light, 0.15), Frame = new(Palette.Black, 0.35), Line = new(Palette.Blue, 0.4), SecondLine = new(Palette.Black, 0.35, [1.2, 0.9]),
        ControlLimit = new(Palette.Grey, 0.35, [3, 1.5]), Centre = new(Palette.Grey, 0.35), PlanLimit = new(Palette.Black, 0.6, [6, 2]), Mark = new(Palette.Black, 0.45);

    /// <summary>Title and answer at the head of an A4 sheet across; returns where the chart can begin.</summary>
    public static double Head(List<Shape> shapes, string title, string answer, int mostLines = 3)
    {
        shapes.Add(new Lettering(new(LeftMm, 15), TextMeasure.Fit(title, RightMm - LeftMm, Title, Weight.Semibold), Title, Weight.Semibold));
        double y = 17;
        IReadOnlyList<string> lines = TextMeasure.Wrap(answer, RightMm - LeftMm, Body);
        for (int i = 0; i < Math.Min(lines.Count, mostLines); i++)
        {
            y += Body * 1.6;
            string line = i == mostLines - 1 && lines.Count > mostLines ? TextMeasure.Fit(lines[i] + " " + lines[i + 1], RightMm - LeftMm, Body) : lines[i];
            shapes.Add(new Lettering(new(LeftMm, y), line, Body));
        }
        return y + 3;
    }

    /// <summary>A note at the foot of an A4 sheet across; a second line stands above the foot.</summary>
    public static void Foot(List<Shape> shapes, string note)
    {
        IReadOnlyList<string> lines = TextMeasure.Wrap(note, RightMm - LeftMm, Small);
        for (int i = 0; i < lines.Count; i++) shapes.Add(new Lettering(new(LeftMm, HeightMm - 7 - (lines.Count - 1 - i) * Small * 1.45), lines[i], Small, Ink: Palette.Grey));
    }
}
