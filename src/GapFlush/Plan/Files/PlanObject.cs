using System.Globalization;
using System.Text.Json;
using GapFlush.Geometry;
using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>One object of <c>plan.json</c>. What it asks for and does not find is added to the problems; null counts as not given.</summary>
internal sealed class PlanObject(string source, LocatedJson node, PlanFolder folder)
{
    private readonly List<string> _asked = [];

    /// <summary>Line on which the object starts.</summary>
    public int Line => node.Line;

    /// <summary>True where the key is given and not null.</summary>
    public bool Has(string key) => Find(key) is not null;

    /// <summary>A text, trimmed; null where it is not given or blank.</summary>
    public string? Text(string key) => Find(key) is LocatedJson value && Is(value, JsonValueKind.String, "a text in double quote marks") ? OneLine(value) : null;

    /// <summary>A text that must be there and not be blank.</summary>
    public string RequiredText(string key)
    {
        if (Find(key) is not null and var value)
        {
            if (Text(key) is string text) return text;
            if (value.Kind == JsonValueKind.String && string.IsNullOrWhiteSpace(value.Text)) Refuse(key, "a text that is not blank", "Fill it in.");
            return "";
        }
        Refuse(key, "this key", $"Add \"{key}\"; it must be there.");
        return "";
    }

    /// <summary>A text, or a number taken as text: the issue of a plan may be "C" or 3.</summary>
    public string? TextOrNumber(string key) => Find(key) is { Kind: JsonValueKind.Number } number ? number.Text : Text(key);

    /// <summary>A text, or one word for true and another for false.</summary>
    public string? TextOrFlag(string key, string whenTrue, string whenFalse) =>
        Find(key) switch { { Kind: JsonValueKind.True } => whenTrue, { Kind: JsonValueKind.False } => whenFalse, _ => Text(key) };

    /// <summary>A number, or null where it is not given.</summary>
    public double? Number(string key, NumberRange range)
    {
        if (Find(key) is not LocatedJson value || !Is(value, JsonValueKind.Number, range.Expected)) return null;
        double number = Value(value);
        if (range.Holds(number)) return number;
        Refuse(key, range.Expected, range.Remedy);
        return null;
    }

    /// <summary>A number that must be there.</summary>
    public double RequiredNumber(string key, NumberRange range)
    {
        if (Find(key) is not null) return Number(key, range) ?? 0;
        Refuse(key, "a number", $"Add \"{key}\"; it must be there.");
        return 0;
    }

    /// <summary>One of some words, or null where it is not given.</summary>
    public T? Word<T>(string key, IReadOnlyDictionary<string, T> words) where T : struct
    {
        if (Text(key) is not string text) return null;
        if (words.TryGetValue(text, out T value)) return value;
        Refuse(key, PlanRow.OneOf(words.Keys), NearestName.Remedy(text, [.. words.Keys]));
        return null;
    }

    /// <summary>A unit vector from a list of three numbers, or null where it is not given.</summary>
    public Vector3? UnitVector(string key)
    {
        const string expected = "a list of three numbers, such as [1, 0, 0]";
        if (Find(key) is not LocatedJson value || !Is(value, JsonValueKind.Array, expected)) return null;
        if (value.Items.Count != 3 || value.Items.Any(i => i.Kind != JsonValueKind.Number || !NumberRange.Any.Holds(Value(i))))
        {
            Refuse(key, expected, "Give the three components along the plan's axes.", $"[{string.Join(", ", value.Items.Select(i => i.Text))}]");
            return null;
        }
        Vector3 v = new(Value(value.Items[0]), Value(value.Items[1]), Value(value.Items[2]));
        if (UnitVectors.Exact(v) is Vector3 exact) return exact;
        Refuse(key, UnitVectors.Expected, UnitVectors.Remedy(v), UnitVectors.Found(v));
        return null;
    }

    /// <summary>An object, or null where it is not given or is something else; something else is left to another reader of the key.</summary>
    public PlanObject? ObjectIfAny(string key) => Find(key) is { Kind: JsonValueKind.Object } value ? new(source, value, folder) : null;

    /// <summary>A list of objects; null where it is not given or not a list of objects throughout.</summary>
    public IReadOnlyList<PlanObject>? Objects(string key)
    {
        if (Find(key) is not LocatedJson value || !Is(value, JsonValueKind.Array, "a list of objects: [{...}, {...}]")) return null;
        bool sound = true;
        foreach (LocatedJson item in value.Items) sound &= Is(item, JsonValueKind.Object, "an object: {...}");
        return sound ? [.. value.Items.Select(i => new PlanObject(source, i, folder))] : null;
    }

    /// <summary>Names every key that nobody has asked for.</summary>
    public void NoticeUnknownKeys()
    {
        foreach ((string key, LocatedJson value) in node.Members.Where(m => !_asked.Contains(m.Key)))
        {
            string hint = NearestName.Among(key, _asked.Where(a => node.Members.All(m => m.Key != a))) is string near ? $" Did you mean '{near}'?" : "";
            folder.Notices.Add(Invariant($"{source}:{value.Line}: key {node.PathOf(key)} is not one of a plan's; it is kept in the file and not used.{hint}"));
        }
    }

    /// <summary>Notes a problem with a key of this object.</summary>
    /// <param name="key">The key.</param>
    /// <param name="expected">What was expected, as a noun phrase.</param>
    /// <param name="remedy">How to mend it, as a sentence.</param>
    /// <param name="found">What stands there; the value itself where nothing is given.</param>
    public void Refuse(string key, string expected, string remedy, string? found = null)
    {
        LocatedJson? value = node.Members.FirstOrDefault(m => m.Key == key).Value;
        folder.Problems.Add(new(source, value?.Line ?? node.Line, node.PathOf(key), found ?? value?.Text ?? "", expected, remedy));
    }

    /// <summary>Tells something about a key of this object that is no problem.</summary>
    public void Notice(string key, string words)
    {
        LocatedJson? value = node.Members.FirstOrDefault(m => m.Key == key).Value;
        folder.Notices.Add(Invariant($"{source}:{value?.Line ?? node.Line}: {node.PathOf(key)}: {words}"));
    }

    private LocatedJson? Find(string key)
    {
        if (!_asked.Contains(key)) _asked.Add(key);
        return node.Members.FirstOrDefault(m => m.Key == key).Value is { Kind: not JsonValueKind.Null } value ? value : null;
    }

    private bool Is(LocatedJson value, JsonValueKind kind, string expected)
    {
        if (value.Kind == kind) return true;
        string remedy = (kind, value.Kind) switch
        {
            (JsonValueKind.Number, JsonValueKind.String) => "Write the number without quote marks, with a decimal point.",
            (JsonValueKind.String, JsonValueKind.Number or JsonValueKind.True or JsonValueKind.False) => "Put it in double quote marks.",
            (JsonValueKind.Array, JsonValueKind.Object) => "Put square brackets round it.",
            _ => "Correct the value.",
        };
        folder.Problems.Add(new(source, value.Line, value.Path, value.Text, expected, remedy));
        return false;
    }

    private string? OneLine(LocatedJson value)
    {
        string text = value.Text.Trim();
        if (text.Any(char.IsControl)) folder.Problems.Add(new(source, value.Line, value.Path, text, "a text on one line", "Take out line breaks, tabs and other control characters."));
        return text.Length > 0 ? text : null;
    }

    // The shape was checked when the file was read; 1e400 becomes infinity, which no range holds.
    private static double Value(LocatedJson number) => double.Parse(number.Text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
