namespace GapFlush.Measurements;

/// <summary>As much of a <see cref="Reading"/> as its value at plan conditions depends on: a million of them fit where the readings would not.</summary>
/// <param name="Terms">What it has in common with the readings beside it.</param>
/// <param name="Place">What was read where.</param>
/// <param name="Value">The value in the characteristic's unit.</param>
/// <param name="WrittenDecimals">Decimals that were logged.</param>
public readonly record struct BareReading(ReadingTerms Terms, ReadingPlace Place, double Value, int WrittenDecimals)
{
    /// <summary>The bare readings of readings, in the same order.</summary>
    public static BareReading[] Of(IReadOnlyList<Reading> readings)
    {
        Dictionary<ReadingPlace, ReadingPlace> places = [];
        ReadingTerms? last = null;
        BareReading[] bare = new BareReading[readings.Count];
        for (int i = 0; i < bare.Length; i++)
        {
            Reading r = readings[i];
            ReadingTerms terms = new(r.Build, r.Stage, r.Gauge, r.WrittenUnit, r.TemperatureC, r.ExpandedUncertainty);
            if (terms != last) last = terms;
            ReadingPlace place = new(r.Door, r.Station, r.Characteristic, r.Definition);
            if (!places.TryGetValue(place, out ReadingPlace? known)) places[place] = known = place;
            bare[i] = new(last, known, r.Value, r.WrittenDecimals);
        }
        return bare;
    }

    /// <summary>A reading of the same value: what is not known of it is blank.</summary>
    internal Reading ToReading() => new()
    {
        Build = Terms.Build,
        Door = Place.Door,
        Station = Place.Station,
        Characteristic = Place.Characteristic,
        Value = Value,
        WrittenValue = "",
        WrittenUnit = Terms.WrittenUnit,
        WrittenDecimals = WrittenDecimals,
        Gauge = Terms.Gauge,
        TemperatureC = Terms.TemperatureC,
        Stage = Terms.Stage,
        Definition = Place.Definition,
        ExpandedUncertainty = Terms.ExpandedUncertainty,
        Source = "",
        Line = 0,
    };
}
