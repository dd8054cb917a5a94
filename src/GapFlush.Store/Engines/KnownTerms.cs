using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Store.Engines;

/// <summary>Gives the same terms and places for the same fields: those of one sheet have their terms in common, and every build has the same places.</summary>
internal sealed class KnownTerms
{
    private readonly Dictionary<(string, string, Characteristic, string?), ReadingPlace> _places = [];
    private ReadingTerms? _last;

    /// <summary>The terms of a row: those of the last one where they are the same.</summary>
    public ReadingTerms Terms(string build, string? stage, string? gauge, string unit, double? temperatureC, double? uncertainty) =>
        _last is ReadingTerms last && last.TemperatureC == temperatureC && last.ExpandedUncertainty == uncertainty && last.Build == build && last.Stage == stage && last.Gauge == gauge && last.WrittenUnit == unit
            ? last : _last = new(build, stage, gauge, unit, temperatureC, uncertainty);

    /// <summary>The place of a row.</summary>
    public ReadingPlace Place(string door, string station, Characteristic characteristic, string? definition)
    {
        if (_places.TryGetValue((door, station, characteristic, definition), out ReadingPlace? known)) return known;
        return _places[(door, station, characteristic, definition)] = new(door, station, characteristic, definition);
    }
}
