using GapFlush.Measurements;

namespace GapFlush.Workflows;

/// <summary>The standard uncertainty of the gap at each station of one door of one build: a taper weighs its gaps by it.</summary>
/// <remarks>It is worked out by <see cref="PlanConditions"/>, and only anew where it can have changed from the last build.</remarks>
internal sealed class GapUncertainties(StudiedDoor door)
{
    private readonly List<BareReading>?[] _read = new List<BareReading>?[door.Door.Stations.Count];
    private readonly (ReadingTerms? Terms, int Decimals, double? Uncertainty)[] _last = new (ReadingTerms?, int, double?)[door.Door.Stations.Count];
    private readonly List<(string? Gauge, string Unit, int Most)> _decimals = [];

    /// <summary>Forgets what was taken.</summary>
    public void Clear()
    {
        foreach (List<BareReading>? read in _read) read?.Clear();
        _decimals.Clear();
    }

    /// <summary>Takes a reading of the door: of the gap at a station, or -1 for another. The decimals of all of them say to what a gauge is read.</summary>
    public void Take(in BareReading reading, int station)
    {
        int at = 0;
        while (at < _decimals.Count && !(_decimals[at].Gauge == reading.Terms.Gauge && _decimals[at].Unit == reading.Terms.WrittenUnit)) at++;
        if (at == _decimals.Count) _decimals.Add((reading.Terms.Gauge, reading.Terms.WrittenUnit, reading.WrittenDecimals));
        else if (reading.WrittenDecimals > _decimals[at].Most) _decimals[at] = _decimals[at] with { Most = reading.WrittenDecimals };
        if (station >= 0) (_read[station] ??= []).Add(reading);
    }

    /// <summary>The uncertainty at a station where a gap was read; null where it is not known.</summary>
    public double? At(int station)
    {
        List<BareReading> read = _read[station]!;
        if (read.Count > 1) return Of(station, [.. read.Select(r => r.ToReading() with { WrittenDecimals = Decimals(r.Terms) })]);
        ReadingTerms terms = read[0].Terms;
        int decimals = Decimals(terms);
        ref (ReadingTerms? Terms, int Decimals, double? Uncertainty) last = ref _last[station];
        if (last.Terms is null || last.Decimals != decimals || !last.Terms.IsLike(terms)) last = (terms, decimals, Of(station, [read[0].ToReading() with { WrittenDecimals = decimals }]));
        return last.Uncertainty;
    }

    private double? Of(int station, Reading[] readings) => PlanConditions.StandardUncertainty(door.Plan, door.Stage, door.Door, door.Door.Stations[station], readings);

    private int Decimals(ReadingTerms terms) => _decimals.Find(d => d.Gauge == terms.Gauge && d.Unit == terms.WrittenUnit).Most;
}
