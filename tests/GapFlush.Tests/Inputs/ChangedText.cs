using System.Text;
using GapFlush.Numerics;

namespace GapFlush.Tests.Inputs;

/// <summary>Changes a good text file the way files go wrong, and worse: cut, single bytes, fields swapped for awkward ones, rows doubled, moved and dropped.</summary>
internal static class ChangedText
{
    private static readonly string[] Awkward =
    [
        "", " ", "0", "-0", "-1", "1e308", "-1e308", "1e-320", "1e400", "NaN", "Infinity", "∞", "1,5", "1.234,5", "0x10", "99999999999999999999", "2147483648", "null", "true", "[]", "{}",
        "\"", "\"\"", "\"a\nb\"", "'", "\0", "\uFEFF", "P1", "S1", "B1", "gap", "flush", "twist", "land_gap", "compression", "slope", "in", "um", "%", "mm", "°", "hole", "open-end", "half-round",
        "2026-02-30", "2026-03-11T13:15:19Z", "0001-01-01", "9999-12-31T23:59:59+14:00", "surround", "any", "*", ";", "\t", "😀", "ß\u0301", "\r", "1 2", "+5", ".5", "5.", "1e5",
    ];

    /// <summary>One changed copy of the file; the same random state gives the same copy.</summary>
    public static byte[] Of(byte[] whole, SeededRandom random)
    {
        byte[] file = (byte[])whole.Clone();
        int changes = 1 + random.Below(3);
        for (int i = 0; i < changes; i++)
        {
            file = random.Below(8) switch
            {
                0 => Bytes(file, random),
                1 => file[..random.Below(file.Length + 1)],
                2 => Rows(file, random),
                3 => Encoding.Unicode.GetPreamble().Concat(Encoding.Unicode.GetBytes(Encoding.UTF8.GetString(file))).ToArray(),
                _ => Field(file, random),
            };
        }
        return file;
    }

    private static byte[] Bytes(byte[] file, SeededRandom random)
    {
        for (int i = 0; i < 3 && file.Length > 0; i++)
        {
            int at = random.Unit() < 0.3 ? random.Below(Math.Min(120, file.Length)) : random.Below(file.Length);
            file[at] = random.Below(4) switch { 0 => (byte)random.Below(256), 1 => (byte)(file[at] ^ (1 << random.Below(8))), 2 => (byte)",;\t\"\n\r{}[]: "[random.Below(12)], _ => (byte)('0' + random.Below(10)) };
        }
        return file;
    }

    private static byte[] Rows(byte[] file, SeededRandom random)
    {
        List<string> rows = [.. Encoding.Latin1.GetString(file).Split('\n')];
        int at = random.Below(rows.Count), to = random.Below(rows.Count);
        switch (random.Below(4))
        {
            case 0: rows.Insert(to, rows[at]); break;
            case 1: rows.RemoveAt(at); break;
            case 2: (rows[at], rows[to]) = (rows[to], rows[at]); break;
            default: rows[at] += rows[to]; break;
        }
        return Encoding.Latin1.GetBytes(string.Join('\n', rows));
    }

    // A field is what stands between two separators, of a table or of JSON.
    private static byte[] Field(byte[] file, SeededRandom random)
    {
        if (file.Length == 0) return file;
        ReadOnlySpan<byte> separators = ",;\t\n:[]{}\""u8;
        int at = random.Below(file.Length), from = file.AsSpan(0, at).LastIndexOfAny(separators) + 1, length = file.AsSpan(at).IndexOfAny(separators);
        int end = length < 0 ? file.Length : at + length;
        string by = random.Below(20) == 0 ? new string('9', 1 + random.Below(5000)) : Awkward[random.Below(Awkward.Length)];
        return [.. file[..from], .. Encoding.UTF8.GetBytes(by), .. file[end..]];
    }
}
