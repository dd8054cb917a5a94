using System.Text.Json;
using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>Writes results as JSON: keys as given, what does not exist null, numbers in full.</summary>
internal static class JsonText
{
    /// <summary>Keys and values of one object; a number that is not finite becomes null.</summary>
    public static Dictionary<string, object?> Object(params ReadOnlySpan<(string Key, object? Value)> members)
    {
        Dictionary<string, object?> all = [];
        foreach ((string key, object? value) in members) all[key] = value is double d && !double.IsFinite(d) ? null : value;
        return all;
    }

    /// <summary>The text.</summary>
    public static string Write(object value) => JsonSerializer.Serialize(value, JsonForm.Serializer);
}
