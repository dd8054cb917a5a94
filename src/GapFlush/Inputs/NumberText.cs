using System.Globalization;

namespace GapFlush.Inputs;

/// <summary>Reads a number as people write it in files, and says what is wrong where it cannot.</summary>
internal static class NumberText
{
    // Smaller than anything that is measured, and far from where a quotient or its square leaves the range of a double.
    private const double Least = 1e-30;

    /// <summary>The value, or null with what was expected and how to mend it.</summary>
    public static (double? Value, string Expected, string Remedy) Parse(string text, bool decimalComma)
    {
        string mark = decimalComma ? "decimal comma" : "decimal point";
        string expected = $"a number with a {mark}";
        string plain = text.Replace('\u2212', '-');   // the typographic minus that spreadsheets and phones write
        if (IsShape(plain, decimalComma ? ',' : '.'))
        {
            // Leading sign, digits, mark, exponent: the shape is checked above, so only size can fail: 1e400 becomes infinity, and what is divided by 1e-320 does.
            double value = double.Parse(plain.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture);
            return double.IsFinite(value) && (value == 0 || Math.Abs(value) >= Least) ? (value, "", "") : (null, "a number of ordinary size", "Write the value that was read.");
        }
        if (IsShape(plain, decimalComma ? '.' : ','))
            return (null, expected, decimalComma ? "The other numbers of this file have a decimal comma; write one here too." : "Write a decimal point.");
        if (plain.Any(char.IsAsciiDigit) && plain.All(c => char.IsAsciiDigit(c) || c is '.' or ',' or '\'' or '’' or ' ' or '\u00A0' or '\u202F' or '+' or '-'))
            return (null, expected + " and no marks between thousands", "Write the digits without spaces or marks between thousands.");
        if (plain.TrimStart('-', '+').ToUpperInvariant() is "NAN" or "INF" or "INFINITY" or "∞") return (null, "a finite number", "Leave out what was not read.");
        if (plain.Length > 1 && char.IsAsciiDigit(plain[0]) && plain.Any(char.IsLetter)) return (null, expected, "Write the digits only; a unit has a column of its own.");
        return (null, expected, "Write digits, such as " + (decimalComma ? "3,62." : "3.62."));
    }

    /// <summary>True for text such as 362, -3.62, +.5 or 3.6e-1 with that decimal mark.</summary>
    public static bool IsShape(ReadOnlySpan<char> text, char mark)
    {
        int i = 0, digits = 0;
        if (i < text.Length && text[i] is '+' or '-') i++;
        for (; i < text.Length && char.IsAsciiDigit(text[i]); i++) digits++;
        if (i < text.Length && text[i] == mark)
        {
            for (i++; i < text.Length && char.IsAsciiDigit(text[i]); i++) digits++;
        }
        if (digits == 0) return false;
        if (i == text.Length) return true;
        if (text[i] is not ('e' or 'E')) return false;
        i++;
        if (i < text.Length && text[i] is '+' or '-') i++;
        int exponent = i;
        while (i < text.Length && char.IsAsciiDigit(text[i])) i++;
        return i == text.Length && i > exponent;
    }
}
