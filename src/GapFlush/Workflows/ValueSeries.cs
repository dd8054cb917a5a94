using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>A series of which only the values are kept, one a build, in order of making: what remains of a million readings fits where the measurements would not.</summary>
/// <param name="Key">What it is about.</param>
/// <param name="Values">The values.</param>
/// <param name="Builds">The serials in the same order.</param>
internal sealed record ValueSeries(SeriesKey Key, IReadOnlyList<double> Values, IReadOnlyList<string> Builds)
{
    // Enough pieces that all cores stay busy to the end, few enough that putting them together costs nothing.
    private const int Pieces = 64;

    /// <summary>The values of a measured series.</summary>
    public static ValueSeries Of(MeasuredSeries series) => new(series.Key, series.Values, series.Builds);

    /// <summary>Measures builds as <see cref="ManyBuilds.Measure"/> does and sorts the values as <see cref="MeasuredSeries.Sort"/> does, on all cores, keeping nothing but the values.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stage">Only this stage, readings brought to it where paint alone differs; null for every stage for itself.</param>
    /// <param name="readings">Readings of any builds and doors.</param>
    /// <param name="characteristic">Of what is derived only this one; null for all. What was read comes always.</param>
    /// <param name="acrossRevisions">True to take mould revisions together.</param>
    public static IReadOnlyList<ValueSeries> Of(FitPlan plan, string? stage, IReadOnlyList<Reading> readings, Characteristic? characteristic, bool acrossRevisions)
    {
        HashSet<Characteristic> limited = ManyBuilds.Limited(plan);
        if (characteristic is not null) limited.IntersectWith([characteristic]);
        (string Build, List<Reading> Readings)[] builds = ByBuild(readings, stage is null);
        BuildOrder order = new(plan, builds.Select(b => b.Build));
        int size = Math.Max(1, (builds.Length + Pieces - 1) / Pieces);
        List<Dictionary<SeriesKey, Kept>> pieces = [.. builds.Chunk(size).AsParallel().AsOrdered().WithMergeOptions(ParallelMergeOptions.FullyBuffered).Select(Piece)];

        Dictionary<SeriesKey, Kept> all = [];
        foreach ((SeriesKey key, Kept values) in pieces.SelectMany(p => p))
        {
            if (all.TryGetValue(key, out Kept? kept)) kept.Add(values);
            else all[key] = values;
        }
        return [.. MeasuredSeries.Ordered(plan, order, all.AsParallel().AsOrdered().Select(s => s.Value.Series(s.Key, order)), s => s.Key, s => s.Builds[^1])];

        Dictionary<SeriesKey, Kept> Piece((string Build, List<Reading> Readings)[] some)
        {
            Dictionary<SeriesKey, Kept> kept = [];
            foreach ((string build, List<Reading> ofBuild) in some)
            {
                foreach (Measurement m in ManyBuilds.OfBuild(plan, stage, ofBuild, limited))
                {
                    if (m.Value is not double value) continue;
                    SeriesKey key = MeasuredSeries.KeyOf(m, acrossRevisions ? null : order.Entry(build, m.Door));
                    if (!kept.TryGetValue(key, out Kept? values)) kept[key] = values = new();
                    values.Add(value, build);
                }
            }
            return kept;
        }
    }

    // In the order in which measuring all of them stage by stage would meet them.
    private static (string Build, List<Reading> Readings)[] ByBuild(IReadOnlyList<Reading> readings, bool stageByStage)
    {
        Dictionary<string, List<Reading>> builds = [];
        Dictionary<string, List<string>> met = [];
        string? lastBuild = null, lastStage = null;
        List<Reading> current = [];
        foreach (Reading reading in readings)
        {
            string stage = stageByStage ? reading.Stage ?? "" : "";
            if (!ReferenceEquals(reading.Build, lastBuild) && reading.Build != lastBuild)
            {
                if (!builds.TryGetValue(reading.Build, out current!)) builds[reading.Build] = current = [];
                lastStage = null;
            }
            if (stage != lastStage)
            {
                if (!met.TryGetValue(stage, out List<string>? here)) met[stage] = here = [];
                here.Add(reading.Build);
            }
            (lastBuild, lastStage) = (reading.Build, stage);
            current.Add(reading);
        }
        return [.. met.Values.SelectMany(b => b).Distinct().Select(b => (b, builds[b]))];
    }

    // Values of one series as they come in.
    private sealed class Kept
    {
        private readonly List<double> _values = [];
        private readonly List<string> _builds = [];

        public void Add(double value, string build)
        {
            _values.Add(value);
            _builds.Add(build);
        }

        public void Add(Kept more)
        {
            _values.AddRange(more._values);
            _builds.AddRange(more._builds);
        }

        public ValueSeries Series(SeriesKey key, BuildOrder order)
        {
            int[] places = [.. _builds.Select(order.Place)];
            bool sorted = true;
            for (int i = 1; i < places.Length && sorted; i++) sorted = places[i - 1] <= places[i];
            if (sorted) return new(key, _values, _builds);
            int[] by = [.. Enumerable.Range(0, places.Length).OrderBy(i => places[i])];
            return new(key, [.. by.Select(i => _values[i])], [.. by.Select(i => _builds[i])]);
        }
    }
}
