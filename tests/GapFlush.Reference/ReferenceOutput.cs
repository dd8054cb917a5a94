using System.Globalization;

namespace GapFlush.Reference;

/// <summary>Gathers computed quantities and writes them as <c>group,case,quantity,value</c>.</summary>
internal sealed class ReferenceOutput(IReadOnlySet<(string Group, string Case, string Quantity)> expected)
{
    private readonly Dictionary<(string Group, string Case, string Quantity), string> _values = [];

    public int Computed => _values.Count;

    public int NotCovered => expected.Count - _values.Count;

    public IReadOnlyDictionary<(string Group, string Case, string Quantity), string> Values => _values;

    /// <summary>Adds a value if the folder asks for that quantity; others are dropped, so that a group may offer all it has.</summary>
    public void Add(string group, string @case, string quantity, double value) => Add(group, @case, quantity, value.ToString("R", CultureInfo.InvariantCulture));

    public void Add(string group, string @case, string quantity, string value)
    {
        (string, string, string) key = (group, @case, quantity);
        if (expected.Contains(key)) _values[key] = value;
    }

    public bool Wants(string group, string @case, string quantity) => expected.Contains((group, @case, quantity));

    public void Write(TextWriter writer)
    {
        writer.Write("group,case,quantity,value\n");
        foreach (((string group, string @case, string quantity), string value) in _values.OrderBy(v => v.Key.Group, StringComparer.Ordinal).ThenBy(v => v.Key.Case, StringComparer.Ordinal).ThenBy(v => v.Key.Quantity, StringComparer.Ordinal))
            writer.Write($"{Quoted(group)},{Quoted(@case)},{Quoted(quantity)},{Quoted(value)}\n");
    }

    private static string Quoted(string text) => text.AsSpan().IndexOfAny(",\"\n") >= 0 ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
}
