using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

public class LimitsTableTests
{
    // Each row's upper limit is its own number, so that the row that wins is known by it.
    private static readonly LimitsTable _table = new(
    [
        Row(1, null, null, null, null), Row(2, "P1", null, null, null), Row(3, null, "sill", null, null), Row(4, "P1", "sill", null, null), Row(5, null, null, "7", null), Row(6, "P1", null, "7", null),
        Row(7, null, null, null, "painted"), Row(8, "P1", "sill", null, "painted"), Row(9, "S1", "latch", "9", null),
    ]);

    [Theory]
    [InlineData("S1", "header", "1", null, 1)]
    [InlineData("P1", "header", "1", null, 2)]
    [InlineData("S1", "sill", "1", null, 3)]
    [InlineData("P1", "sill", "1", null, 4)]
    [InlineData("S1", "sill", "7", null, 5)]      // station over zone
    [InlineData("P1", "sill", "7", null, 6)]
    [InlineData("S1", "header", "1", "painted", 7)]   // a given stage over a blank one
    [InlineData("P1", "header", "1", "painted", 2)]   // but a door over any door, whatever the stage
    [InlineData("P1", "sill", "1", "painted", 8)]
    [InlineData("P1", "sill", "1", "bare", 4)]
    [InlineData("S1", "latch", "9", "bare", 9)]
    [InlineData("P1", null, null, null, 2)]       // a value of the whole door: rows for zones and stations do not hold
    [InlineData("P1", "sill", null, null, 4)]
    [InlineData(null, null, null, null, 1)]
    public void The_most_closely_aimed_row_wins(string? door, string? zone, string? station, string? stage, double upper) =>
        Assert.Equal(upper, _table.For(Characteristic.Gap, door, zone, station, stage)!.Limits.Upper);

    [Fact]
    public void Another_characteristic_has_no_limit() => Assert.Null(_table.For(Characteristic.Flush, "P1", "sill", "7"));

    [Fact]
    public void A_zone_beside_a_station_aims_no_closer() =>
        Assert.Equal(Row(1, "P1", null, "7", null).Specificity, Row(1, "P1", "sill", "7", null).Specificity);

    private static LimitRow Row(double upper, string? door, string? zone, string? station, string? stage) => new(door, zone, station, Characteristic.Gap, stage, null, new(null, upper), (int)upper);
}
