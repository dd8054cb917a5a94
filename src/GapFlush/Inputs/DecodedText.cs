using System.Text;

namespace GapFlush.Inputs;

/// <summary>The text of a file, with its encoding found by looking.</summary>
/// <remarks>
/// <para>A byte order mark decides (UTF-8, UTF-16 of either byte order). Without one, bytes that are valid UTF-8 are UTF-8; other bytes are read as
/// Windows-1252, which holds all of Latin-1's letters, and a notice says so. A NUL byte makes the file binary: it is refused.</para>
/// <para>Line ends CRLF and CR become LF, so that lines count alike for every reader.</para>
/// </remarks>
/// <param name="Text">The text, without byte order mark, with LF line ends.</param>
/// <param name="Notice">What the user should know of the encoding, or null.</param>
/// <param name="Problem">Why there is no text, or null.</param>
internal sealed record DecodedText(string Text, string? Notice, InputProblem? Problem)
{
    // What Windows-1252 puts in place of the control codes 0x80 to 0x9F of Latin-1; its five empty places become U+FFFD.
    private const string Windows1252 = "€\uFFFD‚ƒ„…†‡ˆ‰Š‹Œ\uFFFDŽ\uFFFD\uFFFD‘’“”•–—˜™š›œ\uFFFDžŸ";

    /// <summary>Decodes the bytes of a file.</summary>
    public static DecodedText From(string source, ReadOnlySpan<byte> bytes)
    {
        string? notice = null;
        string text;
        if (bytes.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF])) bytes = bytes[3..];
        try
        {
            if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE])) text = new UnicodeEncoding(false, false, throwOnInvalidBytes: true).GetString(bytes[2..]);
            else if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF])) text = new UnicodeEncoding(true, false, throwOnInvalidBytes: true).GetString(bytes[2..]);
            else text = new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes);
        }
        catch (DecoderFallbackException) when (bytes.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE]) || bytes.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF]))
        {
            return new("", null, new(source, 0, "", "UTF-16 text that breaks off or is damaged", "text", "Save the file again as UTF-8 text."));
        }
        catch (DecoderFallbackException)
        {
            text = string.Create(bytes.Length, bytes, static (chars, from) =>
            {
                for (int i = 0; i < chars.Length; i++) chars[i] = from[i] is >= 0x80 and < 0xA0 ? Windows1252[from[i] - 0x80] : (char)from[i];
            });
            int line = 1 + text.AsSpan(0, text.AsSpan().IndexOfAnyExceptInRange('\0', '\x7F')).Count('\n');
            notice = Invariant($"{source}: the bytes are not UTF-8 (first on line {line}); they were read as Windows-1252, the usual superset of Latin-1.");
        }
        int nul = text.IndexOf('\0', StringComparison.Ordinal);
        if (nul >= 0)
        {
            int line = 1 + text.AsSpan(0, nul).Count('\n');
            return new("", null, new(source, line, "", "a NUL byte: this is not a text file, or it is damaged", "text", "Give the text file, saved as UTF-8."));
        }
        if (text.Contains('\r', StringComparison.Ordinal)) text = text.Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\r', '\n');
        return new(text, notice, null);
    }

    /// <summary>Reads a whole file; a stream that fails is the caller's business.</summary>
    public static DecodedText From(InputFile file)
    {
        using Stream stream = file.Open();
        using MemoryStream all = new();
        stream.CopyTo(all);
        return From(file.Name, all.GetBuffer().AsSpan(0, (int)all.Length));
    }
}
