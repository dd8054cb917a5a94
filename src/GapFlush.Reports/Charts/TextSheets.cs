using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Charts;

/// <summary>Sets lines of text, such as those a study prints, on A4 sheets across: the answer first, then the figures.</summary>
public static class TextSheets
{
    private const double Width = 297, Height = 210, Capital = 2.5, Step = 4.6;

    /// <summary>Lays out the lines; a long one is broken at a space. The caution stands at the foot of every sheet.</summary>
    public static IReadOnlyList<Sheet> Pages(string title, string answer, IEnumerable<string> lines, string caution)
    {
        List<(string Text, double Capital, Weight Weight)> all = [];
        foreach (string part in Broken(answer, 3.4, Weight.Semibold)) all.Add((part, 3.4, Weight.Semibold));
        all.Add(("", Capital, Weight.Regular));
        foreach (string line in lines)
            foreach (string part in Broken(line, Capital, Weight.Regular)) all.Add((part, Capital, Weight.Regular));
        List<Sheet> sheets = [];
        const int perSheet = 36;
        for (int start = 0; start < all.Count; start += perSheet)
        {
            List<Shape> shapes = [new Lettering(new(15, 15), title, 4.2, Weight.Semibold)];
            double y = 25;
            foreach ((string text, double capital, Weight weight) in all.Skip(start).Take(perSheet))
            {
                if (text.Length > 0) shapes.Add(new Lettering(new(15, y), text, capital, weight));
                y += capital > 3 ? 6 : Step;
            }
            shapes.Add(new Lettering(new(15, Height - 8), caution, 2.5, Ink: Palette.Grey));
            sheets.Add(new(Width, Height, title, answer, shapes));
        }
        return sheets;
    }

    private static IEnumerable<string> Broken(string text, double capital, Weight weight)
    {
        string rest = text.TrimEnd();
        while (TextMeasure.WidthMm(rest, capital, weight) > Width - 30)
        {
            int cut = rest.Length;
            while (cut > 20 && TextMeasure.WidthMm(rest[..cut], capital, weight) > Width - 30) cut = Math.Max(20, rest.LastIndexOf(' ', cut - 1));
            yield return rest[..cut];
            rest = "    " + rest[cut..].TrimStart();
        }
        yield return rest;
    }
}
