using System.Collections.Concurrent;
using System.Text;
using SkiaSharp;

namespace GapFlush.Reports.Drawing;

/// <summary>How wide lettering is, so that a sheet is laid out before it is drawn.</summary>
public static class TextMeasure
{
    // Measured once at this size and scaled: widths are proportional because hinting is off.
    private const float MeasuredSize = 1000;
    private static readonly ConcurrentDictionary<(Rune, Weight), double> Widths = new();
    private static readonly Lock Gate = new();

    // Ascenders (b, d, l) and brackets reach 750 of 1000 units, descenders and brackets 225.
    private const double AscentShare = 0.755, DescentShare = 0.23;

    /// <summary>From the base line to the top of the tallest letters, mm.</summary>
    public static double AscentMm(double capitalMm) => AscentShare / Faces.CapitalShare * capitalMm;

    /// <summary>From the base line to the end of the descenders, mm.</summary>
    public static double DescentMm(double capitalMm) => DescentShare / Faces.CapitalShare * capitalMm;

    /// <summary>Width of a line, mm; every form of a sheet draws letters without kerning, so the widths of its letters add up.</summary>
    /// <param name="text">The words.</param>
    /// <param name="capitalMm">Height of a capital, mm.</param>
    /// <param name="weight">How heavy.</param>
    public static double WidthMm(string text, double capitalMm, Weight weight = Weight.Regular)
    {
        double width = 0;
        foreach (Rune letter in PrintableText.Of(text).EnumerateRunes()) width += Widths.GetOrAdd((letter, weight), Measure);
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
                while (WidthMm(line, capitalMm, weight) > widthMm && Fitting(line, widthMm, capitalMm, weight) is int fits && fits < line.Length)
                {
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
        double room = widthMm - WidthMm("…", capitalMm, weight);
        return room <= 0 ? "…" : text[..Fitting(text, room, capitalMm, weight)].TrimEnd() + "…";
    }

    // How much of the start fits, in chars; at least one whole letter, and never half of one.
    private static int Fitting(string text, double widthMm, double capitalMm, Weight weight)
    {
        int count = 0;
        double used = 0;
        while (count < text.Length)
        {
            int length = char.IsHighSurrogate(text[count]) && count + 1 < text.Length ? 2 : 1;
            used += WidthMm(text.Substring(count, length), capitalMm, weight);
            if (used > widthMm && count > 0) break;
            count += length;
        }
        return count;
    }

    private static double Measure((Rune Letter, Weight Weight) key)
    {
        lock (Gate)
        {
            using SKFont font = new(Faces.Of(key.Weight), MeasuredSize) { Hinting = SKFontHinting.None, LinearMetrics = true, Subpixel = true };
            return font.MeasureText(key.Letter.ToString()) / MeasuredSize;
        }
    }
}
