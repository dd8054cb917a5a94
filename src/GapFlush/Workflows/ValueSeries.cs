using System.Collections.Concurrent;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>A series of which only the values are kept, one a build, in order of making: what remains of a million readings fits where the measurements would not.</summary>
/// <param name="Key">What it is about.</param>
/// <param name="Values">The values.</param>
/// <param name="Builds">The serials in the same order; one list for all series that have the same builds.</param>
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
    public static IReadOnlyList<ValueSeries> Of(FitPlan plan, string? stage, BareReading[] readings, Characteristic? characteristic, bool acrossRevisions)
    {
        HashSet<Characteristic> limited = ManyBuilds.Limited(plan);
        if (characteristic is not null) limited.IntersectWith([characteristic]);
        (string Build, List<ReadOnlyMemory<BareReading>> Readings)[] builds = ByBuild(readings, stage is null);
        BuildOrder order = new(plan, builds.Select(b => b.Build));
        ConcurrentDictionary<(string, string?), StudiedDoor> doors = new();
        int size = Math.Max(1, (builds.Length + Pieces - 1) / Pieces);
        CollectedValues all = new(builds.Length);
        foreach (CollectedValues piece in Enumerable.Range(0, builds.Length).Chunk(size).AsParallel().AsOrdered().WithMergeOptions(ParallelMergeOptions.FullyBuffered).Select(Piece)) all.Add(piece);
        return [.. MeasuredSeries.Ordered(plan, order, all.Series([.. builds.Select(b => b.Build)], order), s => s.Key, s => s.Builds[^1])];

        CollectedValues Piece(int[] some)
        {
            CollectedValues collected = new(some.Length);
            BuildValues values = new(plan, stage, limited, doors);
            foreach (int number in some)
            {
                (string build, List<ReadOnlyMemory<BareReading>> ofBuild) = builds[number];
                if (values.Of(ofBuild) is { } rows)
                {
                    foreach ((StudiedDoor door, double[] row) in rows) collected.Add(door, acrossRevisions ? null : order.Entry(build, door.Door.Code), number, row);
                    continue;
                }
                Reading[] full = [.. ofBuild.SelectMany(r => r.ToArray()).Select(r => r.ToReading())];
                foreach (Measurement m in ManyBuilds.OfBuild(plan, stage, full, limited))
                {
                    if (m.Value is double value) collected.Add(MeasuredSeries.KeyOf(m, acrossRevisions ? null : order.Entry(build, m.Door)), number, value);
                }
            }
            return collected;
        }
    }

    // In the order in which measuring all of them stage by stage would meet them; the readings of each as stretches of all readings.
    private static (string Build, List<ReadOnlyMemory<BareReading>> Readings)[] ByBuild(BareReading[] readings, bool stageByStage)
    {
        Dictionary<string, List<ReadOnlyMemory<BareReading>>> builds = [];
        Dictionary<string, List<string>> met = [];
        for (int from = 0, to; from < readings.Length; from = to)
        {
            ReadingTerms first = readings[from].Terms;
            for (to = from + 1; to < readings.Length && (ReferenceEquals(readings[to].Terms, first) || readings[to].Terms.Build == first.Build && (!stageByStage || readings[to].Terms.Stage == first.Stage)); to++) ;
            if (!builds.TryGetValue(first.Build, out List<ReadOnlyMemory<BareReading>>? ofBuild)) builds[first.Build] = ofBuild = [];
            ofBuild.Add(readings.AsMemory(from, to - from));
            string stage = stageByStage ? first.Stage ?? "" : "";
            if (!met.TryGetValue(stage, out List<string>? here)) met[stage] = here = [];
            here.Add(first.Build);
        }
        return [.. met.Values.SelectMany(b => b).Distinct().Select(b => (b, builds[b]))];
    }
}
