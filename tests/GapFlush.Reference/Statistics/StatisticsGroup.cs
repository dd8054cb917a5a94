namespace GapFlush.Reference.Statistics;

/// <summary>A group of statistics cases with what computes one of them. A case whose data is not there, or that the library refuses, is left out.</summary>
internal sealed class StatisticsGroup(string name, Action<StatisticsCase> compute) : IReferenceGroup
{
    public string Name => name;

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("cases.csv") || !folder.Has("expected", name + ".csv")) return;
        ILookup<string, string> wanted = folder.Rows("expected", name + ".csv").ToLookup(r => r["case"], r => r["quantity"]);
        foreach (IGrouping<string, IReadOnlyDictionary<string, string>> rows in folder.Rows("cases.csv").Where(r => r["group"] == name).GroupBy(r => r["case"]))
        {
            Dictionary<string, string> keys = [];
            foreach (IReadOnlyDictionary<string, string> row in rows) keys[row["key"]] = row["value"];
            StatisticsCase one = new(folder, name, rows.Key, rows.First()["input"], keys, wanted[rows.Key].ToHashSet(), output);
            if (rows.First()["input"].Length > 0 && !one.HasData) continue;
            try
            {
                compute(one);
            }
            catch (Exception e) when (e is ArgumentException or KeyNotFoundException or FormatException)
            {
                Console.Error.WriteLine($"{name} {rows.Key}: left out: {e.Message}");
            }
        }
    }
}
