using System.Globalization;
using System.Text;

namespace GapFlush.Store;

/// <summary>Times as the record writes them: ISO 8601 with offset, Z where that is zero, no noughts after the seconds.</summary>
internal static class TimeText
{
    /// <summary>Letters of the usual form, 2026-03-11T13:19:02Z.</summary>
    public const int UsualLength = 20;

    private const string Local = "yyyy-MM-dd'T'HH:mm:ss.FFFFFFF";

    /// <summary>A time as text; the same time with the same offset always gives the same text.</summary>
    public static string Of(DateTimeOffset time) => time.ToString(time.Offset == TimeSpan.Zero ? Local + "'Z'" : Local + "zzz", CultureInfo.InvariantCulture);

    /// <summary>The time that a text says, or null where it says none.</summary>
    public static DateTimeOffset? Read(string text)
    {
        Span<byte> bytes = stackalloc byte[UsualLength];
        if (text.Length == UsualLength && Encoding.ASCII.TryGetBytes(text, bytes, out int written) && written == UsualLength && Usual(bytes) is DateTimeOffset usual) return usual;
        return DateTimeOffset.TryParseExact(text, [Local + "'Z'", Local + "zzz"], CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset time) ? time : null;
    }

    /// <summary>The time that a text of the usual form says; null for any other, which <see cref="Read"/> may still make out.</summary>
    /// <remarks>Without the general parser, which would be most of the time that a million rows take.</remarks>
    public static DateTimeOffset? Usual(ReadOnlySpan<byte> text) =>
        text.Length == UsualLength && text[19] == 'Z' && text[10] == 'T' && Two(text, 0) is int century and >= 0 && Two(text, 2) is int year and >= 0
            && Two(text, 5) is int month and >= 1 and <= 12 && Two(text, 8) is int day and >= 1 and <= 28
            && Two(text, 11) is int hour and >= 0 and < 24 && Two(text, 14) is int minute and >= 0 and < 60 && Two(text, 17) is int second and >= 0 and < 60
            && text[4] == '-' && text[7] == '-' && text[13] == ':' && text[16] == ':' && century + year > 0
            ? new DateTimeOffset(100 * century + year, month, day, hour, minute, second, TimeSpan.Zero) : null;

    private static int Two(ReadOnlySpan<byte> text, int at) => char.IsAsciiDigit((char)text[at]) && char.IsAsciiDigit((char)text[at + 1]) ? 10 * (text[at] - '0') + text[at + 1] - '0' : -1;
}
