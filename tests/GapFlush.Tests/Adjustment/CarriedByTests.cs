using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Workflows;

namespace GapFlush.Tests.Adjustment;

/// <summary>Planted shape on one side of the seam, seen by a scan of both sides, while the door also hangs wrong.</summary>
public class CarriedByTests
{
    private static readonly Door Sample = SampleDoor.Make();

    [Theory]
    [InlineData(2.6, 0, "door", "door edge set back 2.60 mm, opening edge as nominal")]
    [InlineData(-2.6, 0, "door", "door edge stands 2.60 mm into the gap, opening edge as nominal")]
    [InlineData(0, 2.6, "opening", "door edge as nominal, opening edge set back 2.60 mm")]
    [InlineData(1.3, 1.3, "door opening", "door edge set back 1.30 mm, opening edge set back 1.30 mm")]
    public void A_gap_that_no_move_cures_is_laid_to_the_side_that_carries_it(double doorMm, double openingMm, string sides, string words)
    {
        DoorAdjustment advice = Advice(Characteristic.Gap, doorMm, openingMm, u: 0.1);
        StaysOutside stays = Assert.Single(advice.StaysOutside);
        CarriedBy cause = advice.CauseOf(stays)!;
        Assert.Equal(sides.Split(' '), cause.Proven);
        Near.Absolute(doorMm, cause.DoorMm, 0.005);
        Near.Absolute(openingMm, cause.OpeningMm, 0.005);
        Assert.StartsWith(words, cause.Words, StringComparison.Ordinal);
        Assert.Contains(AdjustOutput.Remains(advice), l => l.StartsWith($"{Sample.Stations[6].Name} gap: by the scan, {words}", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(1.6, 0, "door", "door skin 1.60 mm proud, surround skin as nominal")]
    [InlineData(0, 1.6, "opening", "door skin as nominal, surround skin 1.60 mm low")]
    [InlineData(0, -1.6, "opening", "door skin as nominal, surround skin 1.60 mm proud")]
    public void A_flush_likewise(double doorMm, double openingMm, string side, string words)
    {
        DoorAdjustment advice = Advice(Characteristic.Flush, doorMm, openingMm, u: 0.1);
        CarriedBy cause = advice.CauseOf(Assert.Single(advice.StaysOutside))!;
        Assert.Equal([side], cause.Proven);
        Assert.StartsWith(words, cause.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_within_its_uncertainty_is_laid_to_nobody()
    {
        DoorAdjustment advice = Advice(Characteristic.Gap, 1.3, 1.3, u: 1.4);
        CarriedBy cause = advice.CauseOf(Assert.Single(advice.StaysOutside))!;
        Assert.Empty(cause.Proven);
        Assert.EndsWith("(U 1.40): neither side alone is proven to carry it", cause.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_scan_it_is_said_that_nobody_can_tell()
    {
        DoorAdjustment advice = Advice(Characteristic.Gap, 2.6, 0, u: 0.1) with { Shares = null };
        Assert.Null(advice.CauseOf(Assert.Single(advice.StaysOutside)));
        Assert.Contains("cannot be told from readings across the seam", AdjustOutput.Remains(advice)[^1], StringComparison.Ordinal);
    }

    private static DoorAdjustment Advice(Characteristic characteristic, double doorMm, double openingMm, double u)
    {
        SmallDisplacement hung = new(new(0.3, 0.9, -0.3), new(0.0008, 0, 0), Sample.Centre);
        FitPlan plan = HeldDoor.Plan(Sample);
        bool Planted(Station s, Characteristic c) => s.Index == 6 && c == characteristic;
        double Hung(Station s, Characteristic c) => (c == Characteristic.Gap ? s.IntoDoor : s.Normal).Dot(hung.At(s.Position));
        List<Measurement> read = SamplePlan.Full(Sample, (s, c) => Hung(s, c) + (Planted(s, c) ? doorMm + openingMm : 0));
        SidePlaces Places(Station s) => new(s, SurroundEdgeMm: Planted(s, Characteristic.Gap) ? -openingMm : 0, SurroundFaceMm: Planted(s, Characteristic.Flush) ? -openingMm : 0,
            DoorEdgeMm: Hung(s, Characteristic.Gap) + (Planted(s, Characteristic.Gap) ? doorMm : 0), DoorFaceMm: Hung(s, Characteristic.Flush) + (Planted(s, Characteristic.Flush) ? doorMm : 0),
            GapDeviationMm: Hung(s, Characteristic.Gap) + (Planted(s, Characteristic.Gap) ? doorMm + openingMm : 0), FlushDeviationMm: Hung(s, Characteristic.Flush) + (Planted(s, Characteristic.Flush) ? doorMm + openingMm : 0), u, u);
        return DoorAdjustment.For(plan, DoorResult.For(plan, Sample, "007", null, read, [])) with { Shares = DeviationShares.Of(Sample, [.. Sample.Stations.Select(Places)]) };
    }
}
