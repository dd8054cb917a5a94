using System.Text.RegularExpressions;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Charts;

/// <summary>Sets lines of text, such as those a study prints, on A4 sheets across: the answer first, then the figures.</summary>
/// <remarks>Lines that follow one another and have the same number of cells, two spaces or more between them, are set as a table.</remarks>
public static partial class TextSheets
{
    private const double Width = 297, Height = 210, Left = 15, Usable = 267, Capital = 2.5, Step = 4.6, Foot = 14, Gap = 3;

    /// <summary>Lays out the lines; a long one is broken at a space. The caution stands at the foot of every sheet.</summary>
    public static IReadOnlyList<Sheet> Pages(string title, string answer, IEnumerable<string> lines, string caution)
    {
        List<(double Height, IReadOnlyList<Lettering> Words)> all = [];
        foreach (string part in Broken(answer, 3.4, Weight.Semibold, Usable)) all.Add((6, [new(new(Left, 0), part, 3.4, Weight.Semibold)]));
        List<string[]> table = [];
        foreach (string line in lines)
        {
            string[] cells = line.Trim().Length == 0 ? [] : Cells().Split(line.Trim());
            if (table.Count > 0 && cells.Length != table[0].Length) Flush();
            if (cells.Length >= 3) table.Add(cells);
            else
            {
                string indent = line.StartsWith(' ') ? "    " : "";
                foreach (string part in Broken(indent + line.Trim(), Capital, Weight.Regular, Usable)) all.Add((Step, [new(new(Left, 0), part, Capital)]));
            }
        }
        Flush();

        List<Sheet> sheets = [];
        List<Shape> shapes = [];
        double y = double.PositiveInfinity;
        foreach ((double height, IReadOnlyList<Lettering> words) in all)
        {
            if (y + height > Height - Foot)
            {
                shapes = [new Lettering(new(Left, 15), title, 4.2, Weight.Semibold), new Lettering(new(Left, Height - 8), caution, 2.5, Ink: Palette.Grey)];
                sheets.Add(new(Width, Height, title, answer, shapes));
                y = 25;
            }
            foreach (Lettering word in words.Where(w => w.Text.Trim().Length > 0)) shapes.Add(word with { Place = new(word.Place.X, y + word.Place.Y) });
            y += height;
        }
        return sheets;

        void Flush()
        {
            if (table.Count == 0) return;
            int n = table[0].Length;
            double[] widths = [.. Enumerable.Range(0, n).Select(i => table.Max(r => TextMeasure.WidthMm(r[i], Capital, Weight.Semibold)))];
            // What is too wide is taken from the widest column, whose cells are then broken.
            int widest = Array.IndexOf(widths, widths.Max());
            widths[widest] = Math.Min(widths[widest], Math.Max(40, Usable - (n - 1) * Gap - (widths.Sum() - widths[widest])));
            bool[] right = [.. Enumerable.Range(0, n).Select(i => table.Skip(1).All(r => Number().IsMatch(r[i])))];
            for (int row = 0; row < table.Count; row++)
            {
                List<Lettering> words = [];
                double x = Left;
                int deep = 1;
                for (int i = 0; i < n; i++)
                {
                    string[] parts = [.. Broken(table[row][i], Capital, Weight.Semibold, widths[i])];
                    deep = Math.Max(deep, parts.Length);
                    for (int p = 0; p < parts.Length; p++)
                        words.Add(new(new(right[i] ? x + widths[i] : x, p * Step), parts[p].Trim(), Capital, row == 0 ? Weight.Semibold : Weight.Regular, right[i] ? Anchor.End : Anchor.Start));
                    x += widths[i] + Gap;
                }
                all.Add((deep * Step, words));
            }
            table.Clear();
        }
    }

    private static IEnumerable<string> Broken(string text, double capital, Weight weight, double room)
    {
        string rest = text.TrimEnd();
        while (TextMeasure.WidthMm(rest, capital, weight) > room + 1e-6)
        {
            int cut = rest.Length;
            while (cut > 0 && TextMeasure.WidthMm(rest[..cut], capital, weight) > room) cut = rest.LastIndexOf(' ', cut - 1);
            // A word longer than the room stays whole.
            if (cut <= 0 || rest[..cut].Trim().Length == 0) break;
            yield return rest[..cut];
            rest = "    " + rest[cut..].TrimStart();
        }
        yield return rest;
    }

    [GeneratedRegex(" {2,}")]
    private static partial Regex Cells();

    [GeneratedRegex(@"^[-+]?[\d.]*(?: to [-+]?[\d.]+)?$")]
    private static partial Regex Number();
}
