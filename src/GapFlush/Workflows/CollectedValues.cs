using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>The values of many builds as they come in, to be sorted into series: whole doors as rows of a table, and single values of builds that were measured in full.</summary>
/// <param name="builds">About how many builds there will be.</param>
internal sealed class CollectedValues(int builds)
{
    private readonly Dictionary<(StudiedDoor Door, string? DoorMould, string? SurroundMould), List<(int Build, double[] Values)>> _tables = [];
    private readonly Dictionary<SeriesKey, List<(int Build, double Value)>> _single = [];

    /// <summary>Adds a door of a build.</summary>
    public void Add(StudiedDoor door, BuildEntry? entry, int build, double[] values)
    {
        if (!_tables.TryGetValue((door, entry?.DoorMould, entry?.SurroundMould), out List<(int, double[])>? rows)) _tables[(door, entry?.DoorMould, entry?.SurroundMould)] = rows = new(builds);
        rows.Add((build, values));
    }

    /// <summary>Adds a single value of a build.</summary>
    public void Add(SeriesKey key, int build, double value)
    {
        if (!_single.TryGetValue(key, out List<(int, double)>? values)) _single[key] = values = [];
        values.Add((build, value));
    }

    /// <summary>Adds what was collected from later builds.</summary>
    public void Add(CollectedValues later)
    {
        foreach ((var key, List<(int, double[])> rows) in later._tables)
        {
            if (_tables.TryGetValue(key, out List<(int, double[])>? here)) here.AddRange(rows);
            else (_tables[key] = new(builds)).AddRange(rows);
        }
        foreach ((SeriesKey key, List<(int, double)> values) in later._single)
        {
            if (_single.TryGetValue(key, out List<(int, double)>? here)) here.AddRange(values);
            else _single[key] = values;
        }
    }

    /// <summary>The series, in no order; within each, builds in the order of making and among equals as they came.</summary>
    /// <param name="names">Serials by number of the build.</param>
    /// <param name="order">The order of making.</param>
    public IEnumerable<ValueSeries> Series(string[] names, BuildOrder order)
    {
        int[] places = Array.ConvertAll(names, order.Place);
        ILookup<SeriesKey, List<(int Build, double Value)>> single = _single.ToLookup(s => s.Key, s => s.Value);
        HashSet<SeriesKey> done = [];
        List<ValueSeries> all = [];
        foreach (((StudiedDoor door, string? doorMould, string? surroundMould), List<(int Build, double[] Values)> unsorted) in _tables)
        {
            (int Build, double[] Values)[] rows = [.. unsorted.OrderBy(r => places[r.Build]).ThenBy(r => r.Build)];
            string[] builds = Array.ConvertAll(rows, r => names[r.Build]);
            SeriesKey[] keys = [.. door.Columns.Select(c => c with { DoorMould = doorMould, SurroundMould = surroundMould })];
            ValueSeries?[] columns = new ValueSeries?[keys.Length];
            Parallel.For(0, keys.Length, c => columns[c] = single.Contains(keys[c]) ? Sorted(keys[c], [.. rows.Where(r => !double.IsNaN(r.Values[c])).Select(r => (r.Build, r.Values[c])), .. single[keys[c]].First()]) : Column(keys[c], rows, c, builds));
            all.AddRange(columns.OfType<ValueSeries>());
            done.UnionWith(keys);
        }
        all.AddRange(_single.Where(s => !done.Contains(s.Key)).Select(s => Sorted(s.Key, s.Value)));
        return all;

        ValueSeries Sorted(SeriesKey key, IEnumerable<(int Build, double Value)> values)
        {
            (int Build, double Value)[] sorted = [.. values.OrderBy(v => places[v.Build]).ThenBy(v => v.Build)];
            return new(key, Array.ConvertAll(sorted, v => v.Value), Array.ConvertAll(sorted, v => names[v.Build]));
        }
    }

    // Null where no build has a value.
    private static ValueSeries? Column(SeriesKey key, (int Build, double[] Values)[] rows, int column, string[] builds)
    {
        double[] values = new double[rows.Length];
        int count = 0;
        for (int i = 0; i < rows.Length; i++)
        {
            if (rows[i].Values[column] is double value && !double.IsNaN(value)) values[count++] = value;
        }
        if (count == rows.Length) return new(key, values, builds);
        return count == 0 ? null : new(key, values[..count], [.. builds.Where((_, i) => !double.IsNaN(rows[i].Values[column]))]);
    }
}
