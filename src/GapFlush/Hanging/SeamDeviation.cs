using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Hanging;

/// <summary>How far one gap or flush is from its nominal value, and along which direction a motion of the door shows in it.</summary>
/// <param name="Station">Station name.</param>
/// <param name="Characteristic">Gap or flush.</param>
/// <param name="Position">Place of the station, mm.</param>
/// <param name="Direction">Unit vector along which a motion of the door raises the value: u (from the surround into the door) for a gap, n for a flush.</param>
/// <param name="DeviationMm">Value minus nominal, mm.</param>
/// <param name="StandardUncertaintyMm">Standard uncertainty of the value, mm, or null where it is not known.</param>
public sealed record SeamDeviation(string Station, Characteristic Characteristic, Point3 Position, Vector3 Direction, double DeviationMm, double? StandardUncertaintyMm)
{
    /// <summary>The deviation of a gap at a station.</summary>
    public static SeamDeviation OfGap(Station station, double deviationMm, double? standardUncertaintyMm = null) =>
        new(station.Name, Characteristic.Gap, station.Position, station.IntoDoor, deviationMm, standardUncertaintyMm);

    /// <summary>The deviation of a flush at a station.</summary>
    public static SeamDeviation OfFlush(Station station, double deviationMm, double? standardUncertaintyMm = null) =>
        new(station.Name, Characteristic.Flush, station.Position, station.Normal, deviationMm, standardUncertaintyMm);

    /// <summary>What a displacement of the door adds to the value, mm. METHOD.md, eq. 1 and 2.</summary>
    public double Explained(SmallDisplacement displacement) => Direction.Dot(displacement.At(Position));
}
