using System.Globalization;
using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads decimal numbers from bytes: exact by one division up to fifteen digits, by the platform beyond.</summary>
internal static class FastNumber
{
    private static readonly double[] Ten = [.. Enumerable.Range(0, 23).Select(k => double.Parse("1e" + k, CultureInfo.InvariantCulture))];

    /// <summary>Up to fifteen digits and twenty-two decimals: both are exact, so that one division rounds once, as it should.</summary>
    public static double Exact(long digits, int decimals) => decimals == 0 ? digits : digits / Ten[decimals];

    /// <summary>Reads a whole field. NaN and infinities are read as such; anything else that is no number is false.</summary>
    public static bool TryRead(ReadOnlySpan<byte> text, bool decimalComma, out double value)
    {
        int i = 0, digits = 0, scale = 0;
        bool negative = false, point = false;
        ulong mantissa = 0;
        if (text.Length > 0 && text[0] is (byte)'-' or (byte)'+')
        {
            negative = text[0] == '-';
            i = 1;
        }
        int start = i;
        byte mark = decimalComma ? (byte)',' : (byte)'.';
        for (; i < text.Length; i++)
        {
            uint d = (uint)(text[i] - '0');
            if (d <= 9)
            {
                if (digits < 19) mantissa = mantissa * 10 + d;
                if (mantissa > 0 || digits > 0) digits++;
                if (point) scale++;
            }
            else if (text[i] == mark && !point) point = true;
            else break;
        }
        // Up to 2^53 and 10^22 both are exact, so one division rounds once, as it should.
        if (i == text.Length && i > start + (point ? 1 : 0) && digits <= 15 && scale <= 22)
        {
            value = mantissa / Ten[scale];
            if (negative) value = -value;
            return true;
        }
        return Slow(text, decimalComma, out value);
    }

    private static bool Slow(ReadOnlySpan<byte> text, bool decimalComma, out double value)
    {
        value = 0;
        if (text.Length is 0 or > 64) return false;
        string s = Encoding.ASCII.GetString(text);
        if (decimalComma)
        {
            if (s.Contains('.', StringComparison.Ordinal)) return false;
            s = s.Replace(',', '.');
        }
        if (s.TrimStart('-', '+').ToUpperInvariant() is "NAN" or "INF" or "INFINITY" or "NAN(IND)")
        {
            value = double.NaN;
            return true;
        }
        return double.TryParse(s, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out value);
    }
}
