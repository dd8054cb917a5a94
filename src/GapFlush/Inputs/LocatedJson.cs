using System.Text;
using System.Text.Json;

namespace GapFlush.Inputs;

/// <summary>One value of a JSON file together with the line it starts on and its path, so that a message can point at it.</summary>
/// <remarks>JSON as RFC 8259 has it: no comments, no comma before a closing bracket, each key once. A file that breaks the grammar is refused at the first place
/// where it does; doubled keys are all reported.</remarks>
internal sealed class LocatedJson
{
    private LocatedJson(JsonValueKind kind, int line, string path, string text, IReadOnlyList<(string Key, LocatedJson Value)> members, IReadOnlyList<LocatedJson> items) =>
        (Kind, Line, Path, Text, Members, Items) = (kind, line, path, text, members, items);

    /// <summary>What it is.</summary>
    public JsonValueKind Kind { get; }

    /// <summary>Line on which it starts, from 1.</summary>
    public int Line { get; }

    /// <summary>Where it stands, such as <c>doors[1].hand</c>; blank for the whole file.</summary>
    public string Path { get; }

    /// <summary>The text of a string, the digits of a number, else what a message calls it.</summary>
    public string Text { get; }

    /// <summary>The members of an object in file order.</summary>
    public IReadOnlyList<(string Key, LocatedJson Value)> Members { get; }

    /// <summary>The items of a list in file order.</summary>
    public IReadOnlyList<LocatedJson> Items { get; }

    /// <summary>Path of a member of this object.</summary>
    public string PathOf(string key) => Path.Length == 0 ? key : $"{Path}.{key}";

    /// <summary>Reads a whole file; null where it cannot be used, with what is wrong added to the problems.</summary>
    public static LocatedJson? Read(string source, string text, ICollection<InputProblem> problems)
    {
        if (string.IsNullOrWhiteSpace(text))
        {
            problems.Add(new(source, 0, "", "", "a JSON object", "The file is empty; give the file that was meant."));
            return null;
        }
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        Lines lines = new(bytes);
        Utf8JsonReader reader = new(bytes);
        LocatedJson? whole = null;
        try
        {
            reader.Read();
            whole = ReadValue(ref reader, lines, source, "", problems);
            reader.Read();   // throws where something follows
            return whole;
        }
        catch (JsonException e)
        {
            int line = (int)(e.LineNumber ?? 0), column = (int)(e.BytePositionInLine ?? 0);
            problems.Add(whole is null ? Broken(source, bytes, lines, line, column)
                : new(source, line + 1, Invariant($"{column + 1}"), lines.TextOf(line).Trim(), "nothing after the last closing bracket", "Take it out, or look for a closing bracket too many before it."));
            return null;
        }
    }

    private static LocatedJson ReadValue(ref Utf8JsonReader reader, Lines lines, string source, string path, ICollection<InputProblem> problems)
    {
        int line = lines.At(reader.TokenStartIndex);
        switch (reader.TokenType)
        {
            case JsonTokenType.StartObject:
                return new(JsonValueKind.Object, line, path, "an object", ReadMembers(ref reader, lines, source, path, problems), []);
            case JsonTokenType.StartArray:
                List<LocatedJson> items = [];
                while (reader.Read() && reader.TokenType != JsonTokenType.EndArray) items.Add(ReadValue(ref reader, lines, source, Invariant($"{path}[{items.Count}]"), problems));
                return new(JsonValueKind.Array, line, path, "a list", [], items);
            case JsonTokenType.String:
                return new(JsonValueKind.String, line, path, reader.GetString()!, [], []);
            case JsonTokenType.Number:
                return new(JsonValueKind.Number, line, path, Encoding.UTF8.GetString(reader.ValueSpan), [], []);
            case JsonTokenType.True:
                return new(JsonValueKind.True, line, path, "true", [], []);
            case JsonTokenType.False:
                return new(JsonValueKind.False, line, path, "false", [], []);
            default:
                return new(JsonValueKind.Null, line, path, "null", [], []);
        }
    }

    private static List<(string, LocatedJson)> ReadMembers(ref Utf8JsonReader reader, Lines lines, string source, string path, ICollection<InputProblem> problems)
    {
        List<(string, LocatedJson)> members = [];
        Dictionary<string, int> seen = [];
        while (reader.Read() && reader.TokenType != JsonTokenType.EndObject)
        {
            string key = reader.GetString()!;
            int line = lines.At(reader.TokenStartIndex);
            string at = path.Length == 0 ? key : $"{path}.{key}";
            if (!seen.TryAdd(key, line))
                problems.Add(new(source, line, at, key, "each key once", Invariant($"The same key stands on line {seen[key]}; take one of the two out.")));
            reader.Read();
            members.Add((key, ReadValue(ref reader, lines, source, at, problems)));
        }
        return members;
    }

    // The parser's own words speak of tokens and readers; what people get wrong is told by the letters on either side of where it stopped.
    private static InputProblem Broken(string source, byte[] bytes, Lines lines, int lineIndex, int byteInLine)
    {
        int at = Math.Min(lines.StartOf(lineIndex) + byteInLine, bytes.Length);
        int before = at - 1;
        while (before >= 0 && bytes[before] is (byte)' ' or (byte)'\t' or (byte)'\n') before--;
        char last = before >= 0 ? (char)bytes[before] : '\0', here = at < bytes.Length ? (char)bytes[at] : '\0';
        (string expected, string remedy) = (last, here) switch
        {
            (_, '\0') => ("a closing bracket for every opened one", "The file ends too soon: it is cut short, or lacks a closing }, ] or quote mark."),
            (',', '}' or ']') => ("a value after the comma", "Take out the comma before the closing bracket."),
            (_, '/') => ("JSON, which has no comments", "Take the comment out; a key of your own, such as \"remark\", is kept."),
            (_, '\'') => ("double quote marks round texts and keys", "Write \" in place of '."),
            (_, 'N' or 'I' or '+') => ("a number", "Write digits, such as 3.62, or leave the key out where there is no value."),
            (',', >= '0' and <= '9') => ("a key in double quote marks", "Write numbers with a decimal point, not a decimal comma."),
            ('"' or '}' or ']' or 'e' or 'l' or (>= '0' and <= '9'), '"' or '{' or '[' or (>= '0' and <= '9') or '-') => ("a comma between two values", "Put a comma after the value before this place."),
            _ => ("JSON", "Look at the brackets, commas, colons and double quote marks here and just before."),
        };
        return new(source, lineIndex + 1, Invariant($"{byteInLine + 1}"), lines.TextOf(lineIndex).Trim(), expected, remedy);
    }

    private sealed class Lines
    {
        private readonly byte[] _bytes;
        private readonly List<int> _starts = [0];

        public Lines(byte[] bytes)
        {
            _bytes = bytes;
            for (int i = 0; i < bytes.Length; i++)
            {
                if (bytes[i] == (byte)'\n') _starts.Add(i + 1);
            }
        }

        public int At(long offset) => _starts.BinarySearch((int)offset) is int i && i >= 0 ? i + 1 : ~i;

        public int StartOf(int lineIndex) => _starts[Math.Clamp(lineIndex, 0, _starts.Count - 1)];

        public string TextOf(int lineIndex)
        {
            int start = StartOf(lineIndex), end = lineIndex + 1 < _starts.Count ? _starts[lineIndex + 1] - 1 : _bytes.Length;
            return Encoding.UTF8.GetString(_bytes, start, end - start);
        }
    }
}
