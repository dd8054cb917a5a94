namespace GapFlush.Inputs;

/// <summary>Puts new words into single cells of a delimited file and leaves every other byte as it stands: unknown columns, quotes, line ends, comments.</summary>
public static class CellEdit
{
    /// <summary>The bytes with the cells changed.</summary>
    /// <param name="bytes">The file, in UTF-8 or any code that keeps ASCII as it is.</param>
    /// <param name="separator">What stands between cells.</param>
    /// <param name="cells">Line on which the row begins, from 1, column from 0, and the new words, which hold neither separator nor quotes nor line ends.</param>
    /// <exception cref="ArgumentException">A cell does not exist, or its words would break the row.</exception>
    public static byte[] Set(ReadOnlySpan<byte> bytes, char separator, IReadOnlyList<(int Line, int Column, string Words)> cells)
    {
        Dictionary<(int, int), string> wanted = cells.ToDictionary(c => (c.Line, c.Column), c => c.Words);
        foreach (string words in wanted.Values)
            if (words.AsSpan().IndexOfAny([separator, '"', '\r', '\n']) >= 0 || words.Any(c => c > '~')) throw new ArgumentException($"The words '{words}' would break the row.", nameof(cells));
        List<byte> result = new(bytes.Length + 32);
        int line = 1, column = 0, start = 0, rowLine = 1;
        bool quoted = false;
        for (int i = 0; i <= bytes.Length; i++)
        {
            bool end = i == bytes.Length;
            if (!end && bytes[i] == '"') quoted = !quoted;
            bool atLineEnd = end || bytes[i] == '\n' || bytes[i] == '\r' && (i + 1 == bytes.Length || bytes[i + 1] != '\n');
            bool carriage = !end && bytes[i] == '\r' && i + 1 < bytes.Length && bytes[i + 1] == '\n';
            if (!quoted && (atLineEnd || carriage || bytes[i] == separator) || end)
            {
                if (wanted.Remove((rowLine, column), out string? words)) result.AddRange(System.Text.Encoding.ASCII.GetBytes(words));
                else result.AddRange(bytes[start..i]);
                if (end) break;
                result.Add(bytes[i]);
                if (carriage) result.Add(bytes[++i]);
                start = i + 1;
                if (atLineEnd || carriage) (line, column, rowLine) = (line + 1, 0, line + 1);
                else column++;
            }
            else if (atLineEnd) line++;   // inside quotes: the row goes on
        }
        if (wanted.Count > 0) throw new ArgumentException($"There is no cell at line {wanted.Keys.First().Item1}, column {wanted.Keys.First().Item2}.", nameof(cells));
        return [.. result];
    }
}
