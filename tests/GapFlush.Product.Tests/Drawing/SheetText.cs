using System.Globalization;
using System.Text;
using GapFlush.Reports.Drawing;

namespace GapFlush.Product.Tests.Drawing;

/// <summary>A sheet as lines of text, a line a shape, mm to two decimals: what golden layouts are compared as.</summary>
internal static class SheetText
{
    public static string Of(Sheet sheet)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $"sheet {N(sheet.WidthMm)} x {N(sheet.HeightMm)}: {sheet.Title}\n");
        foreach (Shape shape in sheet.Shapes) Write(shape, 1, text);
        return text.ToString();
    }

    private static void Write(Shape shape, int depth, StringBuilder text)
    {
        text.Append(' ', depth);
        if (shape is Group group)
        {
            text.Append(CultureInfo.InvariantCulture, $"group {group.Id}: {group.Title}\n");
            foreach (Shape inner in group.Shapes) Write(inner, depth + 1, text);
            return;
        }
        text.Append(shape switch
        {
            Disc c => $"disc {P(c.Centre)} r {N(c.RadiusMm)}{S(c.Stroke)}{F(c.Fill)}",
            Trail t => $"{(t.Curved ? "curve" : "line")}{(t.Closed ? " closed" : "")} {string.Join(' ', t.Places.Select(P))}{(t.Hole is null ? "" : " less " + string.Join(' ', t.Hole.Select(P)))}{S(t.Stroke)}{F(t.Fill)}{(t.Hatch is null ? "" : " hatched")}",
            Lettering t => $"text {P(t.Place)} {t.Anchor} {N(t.CapitalMm)} {t.Weight}{(t.Ink is Ink ink ? " " + ink.Hex : "")}{(t.TurnDeg == 0 ? "" : $" {N(t.TurnDeg)}°")} \"{t.Text}\"",
            _ => throw new ArgumentException(shape.GetType().Name),
        }).Append('\n');
    }

    private static string S(Stroke? s) => s is null ? "" : $" {s.Ink.Hex}/{N(s.WidthMm)}{(s.DashMm is null ? "" : " dash " + string.Join(',', s.DashMm.Select(N)))}";

    private static string F(Ink? f) => f is Ink ink ? $" fill {ink.Hex}" : "";

    private static string P(Place p) => $"{N(p.X)},{N(p.Y)}";

    private static string N(double v) => Invariant($"{Math.Round(v, 2) + 0.0:0.##}");
}
