using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Text;

namespace GapFlush.Scans;

/// <summary>Reads decimal numbers from bytes: exact by one division up to fifteen digits, by the platform beyond.</summary>
internal static class FastNumber
{
    // Constants of the program, so that no look at them asks whether the class is ready.
    private static ReadOnlySpan<double> Ten => [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22];

    private static ReadOnlySpan<long> WholeTen => [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000];

    /// <summary>Up to fifteen digits and twenty-two decimals: both are exact, so that one division rounds once, as it should.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Exact(long digits, int decimals) => decimals == 0 ? digits : digits / Ten[decimals];

    /// <summary>Reads a plain number of up to seven digits before and after its mark, eight bytes at a time; false where it is not one, or too near the end of the text.</summary>
    /// <param name="text">Text with the number at <paramref name="at"/> and something behind it.</param>
    /// <param name="at">Where the number starts; moved behind it where it was read.</param>
    /// <param name="mark">The decimal mark.</param>
    /// <param name="value">The number.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryShort(ReadOnlySpan<byte> text, ref int at, byte mark, out double value)
    {
        value = 0;
        int i = at;
        if ((uint)i + 24 > (uint)text.Length) return false;
        bool negative = text[i] == '-';
        if (negative) i++;
        long mantissa = Digits(text, i, out int whole);
        i += whole;
        int decimals = 0;
        if (text[i] == mark)
        {
            i++;
            long fraction = Digits(text, i, out decimals);
            if (decimals > 7) return false;
            mantissa = mantissa * WholeTen[decimals] + fraction;
            i += decimals;
        }
        if (whole > 7 || whole + decimals == 0) return false;
        value = Exact(mantissa, decimals);
        if (negative) value = -value;
        at = i;
        return true;
    }

    // The digits that eight bytes start with, and how many they are.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static long Digits(ReadOnlySpan<byte> text, int at, out int count)
    {
        ulong t = BinaryPrimitives.ReadUInt64LittleEndian(text[at..]) ^ 0x3030303030303030;
        // The high bit of every byte that is no digit: those above nine once 0x76 is added, and those that had it.
        ulong other = ((t & 0x7F7F7F7F7F7F7F7F) + 0x7676767676767676 | t) & 0x8080808080808080;
        count = BitOperations.TrailingZeroCount(other) >> 3;
        if (count == 0) return 0;
        // The last digit goes to the last byte, with noughts before the first; then pairs, fours and eights are put together.
        t <<= 64 - 8 * count;
        t = (t * 10 + (t >> 8)) & 0x00FF00FF00FF00FF;
        t = (t * 100 + (t >> 16)) & 0x0000FFFF0000FFFF;
        return (long)((t * 10_000 + (t >> 32)) & 0xFFFFFFFF);
    }

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
