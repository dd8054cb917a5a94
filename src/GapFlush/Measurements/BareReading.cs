using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>As much of a <see cref="Reading"/> as its value at plan conditions depends on: a million of them fit where the readings would not.</summary>
/// <param name="Terms">What it has in common with the readings beside it.</param>
/// <param name="Door">Door code.</param>
/// <param name="Station">Station name.</param>
/// <param name="Characteristic">What was read.</param>
/// <param name="Definition">Definition code given with the row, or null.</param>
/// <param name="Value">The value in the characteristic's unit.</param>
/// <param name="WrittenDecimals">Decimals that were logged.</param>
public readonly record struct BareReading(ReadingTerms Terms, string Door, string Station, Characteristic Characteristic, string? Definition, double Value, int WrittenDecimals)
{
    /// <summary>The bare readings of readings, in the same order.</summary>
    public static BareReading[] Of(IReadOnlyList<Reading> readings)
    {
        BareReading[] bare = new BareReading[readings.Count];
        ReadingTerms? last = null;
        for (int i = 0; i < bare.Length; i++)
        {
            Reading r = readings[i];
            ReadingTerms terms = new(r.Build, r.Stage, r.Gauge, r.WrittenUnit, r.TemperatureC, r.ExpandedUncertainty);
            if (terms != last) last = terms;
            bare[i] = new(last, r.Door, r.Station, r.Characteristic, r.Definition, r.Value, r.WrittenDecimals);
        }
        return bare;
    }

    /// <summary>A reading of the same value: what is not known of it is blank.</summary>
    internal Reading ToReading() => new()
    {
        Build = Terms.Build,
        Door = Door,
        Station = Station,
        Characteristic = Characteristic,
        Value = Value,
        WrittenValue = "",
        WrittenUnit = Terms.WrittenUnit,
        WrittenDecimals = WrittenDecimals,
        Gauge = Terms.Gauge,
        TemperatureC = Terms.TemperatureC,
        Stage = Terms.Stage,
        Definition = Definition,
        ExpandedUncertainty = Terms.ExpandedUncertainty,
        Source = "",
        Line = 0,
    };
}
