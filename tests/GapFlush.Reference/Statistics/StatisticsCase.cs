using System.Globalization;

namespace GapFlush.Reference.Statistics;

/// <summary>One case of a statistics group: its parameters and its data.</summary>
internal sealed class StatisticsCase(ReferenceFolder folder, string group, string name, string input, IReadOnlyDictionary<string, string> keys, IReadOnlySet<string> wanted, ReferenceOutput output)
{
    private IReadOnlyList<IReadOnlyDictionary<string, string>>? _rows;

    public string Name => name;

    /// <summary>The quantities expected of this case.</summary>
    public IReadOnlySet<string> Wanted => wanted;

    public bool Has(string key) => keys.TryGetValue(key, out string? text) && text.Length > 0;

    public string Text(string key) => keys[key];

    public double Number(string key) => Parse(keys[key]);

    public int Whole(string key) => (int)Number(key);

    public double? Optional(string key) => Has(key) ? Number(key) : null;

    public IReadOnlyList<IReadOnlyDictionary<string, string>> Rows => _rows ??= folder.Rows(input.Split('/'));

    public bool HasData => input.Length > 0 && folder.Has(input.Split('/'));

    public double[] Column(string column) => [.. Rows.Select(r => Parse(r[column]))];

    /// <summary>The column named by the key <c>column</c>.</summary>
    public double[] Values => Column(Text("column"));

    /// <summary>Values of a column by the text of another, groups in order of first appearance.</summary>
    public (IReadOnlyList<string> Names, IReadOnlyList<IReadOnlyList<double>> Groups) Grouped(string by, string column)
    {
        IGrouping<string, double>[] groups = [.. Rows.GroupBy(r => r[by], r => Parse(r[column]))];
        return ([.. groups.Select(g => g.Key)], [.. groups.Select(g => (IReadOnlyList<double>)[.. g])]);
    }

    public void Put(string quantity, double value)
    {
        if (!double.IsNaN(value)) output.Add(group, name, quantity, value);
    }

    public void Put(string quantity, double? value)
    {
        if (value is double v) Put(quantity, v);
    }

    public void Put(string quantity, string text) => output.Add(group, name, quantity, text);

    /// <summary>A list of places counted from 1.</summary>
    public void Put(string quantity, IReadOnlyList<int> places) => output.Add(group, name, quantity, places.Count == 0 ? "none" : string.Join(';', places));

    public static double Parse(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
