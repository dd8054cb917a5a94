using System.Globalization;
using GapFlush.Plan;

namespace GapFlush.Reports.Inspection;

/// <summary>Values and places in words, the same everywhere in the report.</summary>
internal static class Words
{
    /// <summary>A value in its unit's usual decimals, no zero with a sign; blank for none.</summary>
    public static string Value(double? value, Characteristic characteristic) => value is not double v ? "" : v.ToString(characteristic.Unit is "mm" or "mm/m" ? "0.00;-0.00;0.00" : "0.0;-0.0;0.0", CultureInfo.InvariantCulture);

    /// <summary>A band in words: "3.90 to 5.00", "at most 0.30".</summary>
    public static string Band(Limits? limits) => limits switch
    {
        null => "",
        { Lower: double lower, Upper: double upper } => Invariant($"{lower:0.0##} to {upper:0.0##}"),
        { Upper: double upper } => Invariant($"at most {upper:0.0##}"),
        _ => Invariant($"at least {limits.Lower:0.0##}"),
    };

    /// <summary>Names with neighbours in station order drawn together: "07 to 12, 20".</summary>
    public static string Runs(IReadOnlyList<string> names, IReadOnlyList<string> order)
    {
        Dictionary<string, int> index = [];
        for (int i = 0; i < order.Count; i++) index[order[i]] = i;
        List<string> parts = [];
        for (int i = 0; i < names.Count;)
        {
            int last = i;
            while (last + 1 < names.Count && index.TryGetValue(names[last], out int a) && index.TryGetValue(names[last + 1], out int b) && b == a + 1) last++;
            parts.Add(last == i ? names[i] : last == i + 1 ? $"{names[i]}, {names[last]}" : $"{names[i]} to {names[last]}");
            i = last + 1;
        }
        return string.Join(", ", parts);
    }

    /// <summary>A sentence with where it stands in a file.</summary>
    public static string Sentence(string text, string? source, int line) => source is null ? text : line > 0 ? Invariant($"{text} ({source}, line {line})") : $"{text} ({source})";
}
