namespace GapFlush.Plan;

/// <summary>One row of <c>limits.csv</c>: a band and what it holds for. A null scope means any.</summary>
/// <param name="Door">Door code, or null for any door.</param>
/// <param name="Zone">Zone, or null for any zone.</param>
/// <param name="Station">Station, or null for any station.</param>
/// <param name="Characteristic">What is limited.</param>
/// <param name="Stage">Stage, or null for any stage.</param>
/// <param name="Nominal">Nominal value in the characteristic's unit, or null where none is given.</param>
/// <param name="Limits">The band.</param>
/// <param name="Line">Line in the file, for messages.</param>
public sealed record LimitRow(string? Door, string? Zone, string? Station, Characteristic Characteristic, string? Stage, double? Nominal, Limits Limits, int Line)
{
    /// <summary>How closely the row is aimed: station over zone over door over any; then a given stage over a blank one. A zone beside a station adds nothing, for the
    /// station lies in one zone only.</summary>
    public int Specificity => (Station is not null ? 8 : 0) + (Zone is not null && Station is null ? 4 : 0) + (Door is not null ? 2 : 0) + (Stage is not null ? 1 : 0);

    /// <summary>True when the row holds for a characteristic at that place and stage; a null place or stage matches only rows that leave it open.</summary>
    public bool Covers(Characteristic characteristic, string? door, string? zone, string? station, string? stage) =>
        Characteristic == characteristic && Fits(Door, door) && Fits(Zone, zone) && Fits(Station, station) && Fits(Stage, stage);

    private static bool Fits(string? asked, string? actual) => asked is null || (actual is not null && string.Equals(asked, actual, StringComparison.Ordinal));
}
