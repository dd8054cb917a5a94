using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Tests;

/// <summary>A plan for tests round a <see cref="SampleDoor"/>: gap 5 ± 1, flush 0 ± 0.6, air from the front.</summary>
internal static class SamplePlan
{
    public static FitPlan Make(Door door, params LimitRow[] more) => new()
    {
        Name = "test plan",
        AircraftType = "none",
        Doors = [door],
        Airflow = new Vector3(1, 0, 0),
        Stages = [new("fit", "bare", "removed", "latched", "jacks"), new("primed", "primer", "removed", "latched", "jacks"), new("painted", "topcoat", "removed", "latched", "jacks"), new("final", "topcoat", "fitted", "latched", "wheels")],
        Paint = [new("bare", "primer", 0.02, 0.01), new("primer", "topcoat", 0.05, -0.02)],
        Gauges = [new("G1", "taper gauge", 0.05, 0.12, 2, null), new("G2", "step gauge", 0.01, 0.09, 3, null), new("G3", "rule", 0.5, null, 2, null)],
        Limits = new([
            new(null, null, null, Characteristic.Gap, null, 5, new Limits(4, 6), 2),
            new(null, null, null, Characteristic.Flush, null, 0, new Limits(-0.6, 0.6), 3),
            .. more]),
    };

    public static Reading Read(Door door, int station, Characteristic characteristic, double value, string? gauge = "G1") => new()
    {
        Build = "007",
        Door = door.Code,
        Station = door.Stations[station].Name,
        Characteristic = characteristic,
        Value = value,
        WrittenValue = Invariant($"{value}"),
        WrittenUnit = "mm",
        WrittenDecimals = 2,
        Gauge = gauge,
        Stage = "fit",
        Source = "readings.csv",
        Line = station + 2,
    };

    public static Measurement Measured(Door door, int station, Characteristic characteristic, double value, double? u = 0.05) => new()
    {
        Build = "007",
        Door = door.Code,
        Zone = door.Stations[station].Zone,
        Station = door.Stations[station].Name,
        Characteristic = characteristic,
        Definition = door.DefinitionOf(characteristic),
        Value = value,
        RawValue = value,
        StandardUncertainty = u,
        Origin = MeasurementOrigin.Readings,
    };

    /// <summary>A full set of gap and flush at nominal, less or more what a function says.</summary>
    public static List<Measurement> Full(Door door, Func<Station, Characteristic, double?>? off = null)
    {
        List<Measurement> all = [];
        foreach (Station s in door.Stations)
        {
            foreach (Characteristic c in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
            {
                double? more = off is null ? 0 : off(s, c);
                if (more is double value) all.Add(Measured(door, s.Index, c, (c == Characteristic.Gap ? 5 : 0) + value));
            }
        }
        return all;
    }
}
