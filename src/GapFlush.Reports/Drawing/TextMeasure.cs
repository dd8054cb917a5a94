using System.Collections.Concurrent;
using SkiaSharp;

namespace GapFlush.Reports.Drawing;

/// <summary>How wide lettering is, so that a sheet is laid out before it is drawn.</summary>
public static class TextMeasure
{
    // Measured once at this size and scaled: widths are proportional because hinting is off.
    private const float MeasuredSize = 1000;
    private static readonly ConcurrentDictionary<(char, Weight), double> Widths = new();
    private static readonly Lock Gate = new();

    /// <summary>Width of a line, mm.</summary>
    /// <param name="text">The words.</param>
    /// <param name="capitalMm">Height of a capital, mm.</param>
    /// <param name="weight">How heavy.</param>
    public static double WidthMm(string text, double capitalMm, Weight weight = Weight.Regular)
    {
        double width = 0;
        foreach (char c in text) width += Widths.GetOrAdd((c, weight), Measure);
        return width * capitalMm / Faces.CapitalShare;
    }

    /// <summary>Breaks words into lines no wider than given; a single word that is wider is broken inside.</summary>
    public static IReadOnlyList<string> Wrap(string text, double widthMm, double capitalMm, Weight weight = Weight.Regular)
    {
        List<string> lines = [];
        foreach (string paragraph in text.ReplaceLineEndings("\n").Split('\n'))
        {
            string line = "";
            foreach (string word in paragraph.Split(' '))
            {
                string longer = line.Length == 0 ? word : $"{line} {word}";
                if (WidthMm(longer, capitalMm, weight) <= widthMm)
                {
                    line = longer;
                    continue;
                }
                if (line.Length > 0) lines.Add(line);
                line = word;
                while (WidthMm(line, capitalMm, weight) > widthMm && line.Length > 1)
                {
                    int fits = Enumerable.Range(1, line.Length - 1).TakeWhile(n => WidthMm(line[..n], capitalMm, weight) <= widthMm).LastOrDefault(1);
                    lines.Add(line[..fits]);
                    line = line[fits..];
                }
            }
            lines.Add(line);
        }
        return lines;
    }

    /// <summary>The line itself, or as much of its start as fits, with an ellipsis.</summary>
    public static string Fit(string text, double widthMm, double capitalMm, Weight weight = Weight.Regular)
    {
        if (WidthMm(text, capitalMm, weight) <= widthMm) return text;
        int n = text.Length;
        while (n > 0 && WidthMm(text[..n] + "…", capitalMm, weight) > widthMm) n--;
        return text[..n] + "…";
    }

    private static double Measure((char Letter, Weight Weight) key)
    {
        lock (Gate)
        {
            using SKFont font = new(Faces.Of(key.Weight), MeasuredSize) { Hinting = SKFontHinting.None, Subpixel = true };
            return font.MeasureText(key.Letter.ToString()) / MeasuredSize;
        }
    }
}
