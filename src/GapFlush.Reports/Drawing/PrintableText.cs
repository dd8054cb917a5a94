using System.Globalization;
using System.Text;

namespace GapFlush.Reports.Drawing;

/// <summary>Makes text from files fit to be drawn and to stand in an XML file.</summary>
internal static class PrintableText
{
    /// <summary>The text with line ends and tabs as spaces, without invisible marks (a turn of the writing direction could make a serial read
    /// backwards), and with what is no character shown as a question mark in a box.</summary>
    public static string Of(string text)
    {
        StringBuilder? changed = null;
        for (int i = 0; i < text.Length;)
        {
            bool good = Rune.TryGetRuneAt(text, i, out Rune rune);
            int length = good ? rune.Utf16SequenceLength : 1;
            string? instead = !good || rune.Value is 0xFFFE or 0xFFFF ? "\uFFFD" : Rune.GetUnicodeCategory(rune) switch
            {
                UnicodeCategory.Control => rune.Value is '\t' or '\n' or '\r' ? " " : "\uFFFD",
                UnicodeCategory.Format => "",
                UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator => " ",
                _ => null,
            };
            if (instead is not null && changed is null) changed = new StringBuilder(text, 0, i, text.Length);
            if (instead is not null) changed!.Append(instead);
            else changed?.Append(text, i, length);
            i += length;
        }
        return changed?.ToString() ?? text;
    }
}
