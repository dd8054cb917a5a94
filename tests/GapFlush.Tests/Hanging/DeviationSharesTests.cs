using GapFlush.Demo;
using GapFlush.Hanging;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Hanging;

public class DeviationSharesTests
{
    private static readonly Door Door = Dabchick.Plan.FindDoor("P1")!;

    // The door is hung off, the opening lies elsewhere as a whole, one stretch of the opening and another of the door are bulged, and one edge is rounder than it should be.
    [Fact]
    public void Planted_causes_are_told_apart() => Cases.Each(50, random =>
    {
        SmallDisplacement door = Some(random), opening = Some(random);
        SidePlaces[] places =
        [
            .. Door.Stations.Select(s =>
            {
                double doorBulge = s.Index is >= 5 and < 10 ? 0.6 : 0, openingBulge = s.Index is >= 30 and < 35 ? -0.6 : 0, rounder = s.Index == 20 ? 0.4 : 0;
                double doorEdge = door.At(s.Position).Dot(s.IntoDoor) + doorBulge, doorFace = door.At(s.Position).Dot(s.Normal);
                double surroundEdge = opening.At(s.Position).Dot(s.IntoDoor) + openingBulge, surroundFace = opening.At(s.Position).Dot(s.Normal);
                return new SidePlaces(s, surroundEdge, surroundFace, doorEdge, doorFace, doorEdge - surroundEdge + rounder, doorFace - surroundFace, 0.05, 0.05);
            }),
        ];
        DeviationShares shares = DeviationShares.Of(Door, places)!;
        foreach (DeviationShare share in shares.Shares)
        {
            Station s = Door.Find(share.Station)!;
            bool gap = share.Characteristic == Characteristic.Gap;
            Near.Absolute(share.DeviationMm, share.HangMm + share.DoorMm + share.OpeningMm + share.EdgeMm, 1e-12);
            // The robust fit sets the bulges aside: what is left of them in it is far below a hundredth.
            Near.Absolute((door.At(s.Position) - opening.At(s.Position)).Dot(gap ? s.IntoDoor : s.Normal), share.HangMm, 0.01);
            Near.Absolute(gap && s.Index is >= 5 and < 10 ? 0.6 : 0, share.DoorMm, 0.01);
            Near.Absolute(gap && s.Index is >= 30 and < 35 ? 0.6 : 0, share.OpeningMm, 0.01);
            Near.Absolute(gap && s.Index == 20 ? 0.4 : 0, share.EdgeMm, 1e-9);
        }
    });

    [Theory]
    [InlineData(0.5, 0.6, -0.1, 0, 0, "hang")]
    [InlineData(-0.5, 0.3, -0.6, -0.2, 0, "door")]
    [InlineData(0.5, 0.1, 0.1, 0.3, 0, "opening")]
    [InlineData(0.5, 0, 0, 0.1, 0.4, "edge")]
    [InlineData(0.04, 0.04, 0, 0, 0, null)]
    public void A_deviation_is_laid_to_its_largest_part_unless_it_drowns_in_its_uncertainty(double deviation, double hang, double door, double opening, double edge, string? expected) =>
        Assert.Equal(expected, new DeviationShare("1", Characteristic.Gap, deviation, hang, door, opening, edge, 0.05).LaidTo);

    [Fact]
    public void Fewer_stations_than_six_movements_need_say_nothing() =>
        Assert.Null(DeviationShares.Of(Door, [.. Door.Stations.Take(DeviationShares.LeastStations - 1).Select(s => new SidePlaces(s, 0, 0, 0.1, 0.1, 0.1, 0.1, null, null))]));

    private static SmallDisplacement Some(SeededRandom random) =>
        new(new(random.Normal(0, 0.4), random.Normal(0, 0.4), random.Normal(0, 0.4)), new(random.Normal(0, 1e-3), random.Normal(0, 1e-3), random.Normal(0, 1e-3)), Door.Centre);
}
