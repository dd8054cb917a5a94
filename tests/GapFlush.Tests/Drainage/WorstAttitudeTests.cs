using GapFlush.Drainage;
using GapFlush.Plan;

namespace GapFlush.Tests.Drainage;

public class WorstAttitudeTests
{
    private const int Grid = 24;

    [Fact]
    public void Worst_depth_and_volume_are_never_beaten_by_a_dense_search() => Cases.Each(30, random =>
    {
        FloorNetwork network = new([ChannelFloor.Nominal(RandomFloors.Channel(random, allowNoLip: false))]);
        AttitudeBox box = RandomFloors.Box(random);
        WorstPond depth = WorstAttitude.ForDepth(network, 0, box)!, volume = WorstAttitude.ForVolume(network, 0, box)!;
        (double foundDepth, double foundVolume) = (0, 0);
        foreach ((double p, double q) in Attitudes(box))
        {
            ChannelWater water = network.In(UpVector.For(p, q)).Channels[0];
            (foundDepth, foundVolume) = (Math.Max(foundDepth, water.PondDepthMm!.Value), Math.Max(foundVolume, water.PondVolumeMl!.Value));
        }
        Assert.True(depth.Converged && volume.Converged, $"{depth} {volume}");
        Assert.True(foundDepth <= depth.Value + 1e-4, Invariant($"found {foundDepth}, claimed {depth}"));
        Assert.True(foundVolume <= volume.Bound + 1e-9, Invariant($"found {foundVolume}, claimed {volume}"));
        Assert.InRange(volume.Bound - volume.Value, 0, Math.Max(1.01e-3, 1.01e-3 * volume.Value));
        // The claimed worst is real.
        Near.Absolute(depth.Value, network.In(UpVector.For(depth.PitchDeg, depth.RollDeg)).Channels[0].PondDepthMm!.Value, 1e-8);
        Near.Absolute(volume.Value, network.In(UpVector.For(volume.PitchDeg, volume.RollDeg)).Channels[0].PondVolumeMl!.Value, 1e-8);
    });

    // More with GAPFLUSH_MANY set.
    private static readonly int Networks = Environment.GetEnvironmentVariable("GAPFLUSH_MANY") is null ? 200 : 2000;

    [Fact]
    public void Worst_slope_by_the_way_of_the_water_is_never_beaten_by_a_dense_search_on_random_networks()
    {
        int branched = 0, changes = 0;
        Cases.Each(Networks, random =>
        {
            FloorNetwork network = RandomFloors.Network(random);
            int channel = random.Below(network.Floors.Count);
            AttitudeBox box = RandomFloors.Box(random);
            (int run, WorstFall worst) = WorstAttitude.ForSlope(network, channel, box)!.Value;
            double found = double.PositiveInfinity;
            HashSet<string?> outlets = [];
            foreach ((double p, double q) in Attitudes(box, 12))
            {
                ChannelWater water = network.In(UpVector.For(p, q)).Channels[channel];
                found = Math.Min(found, water.LeastSlopePercent!.Value);
                outlets.Add(water.Runs[run].DrainsTo);
            }
            // A finer search where a coarse one looks worst: about the claimed attitude, to a hundredth of the box.
            double dp = (box.PitchMaxDeg - box.PitchMinDeg) / 100, dq = (box.RollMaxDeg - box.RollMinDeg) / 100;
            for (int i = -5; i <= 5; i++)
            {
                for (int k = -5; k <= 5; k++)
                    found = Math.Min(found, network.In(UpVector.For(Math.Clamp(worst.PitchDeg + i * dp, box.PitchMinDeg, box.PitchMaxDeg), Math.Clamp(worst.RollDeg + k * dq, box.RollMinDeg, box.RollMaxDeg))).Channels[channel].LeastSlopePercent!.Value);
            }
            Assert.True(worst.Slope.Percent <= found + 1e-5, Invariant($"run {run}: found {found}, claimed {worst}"));
            // And it is met, by the way the water goes there.
            Near.Absolute(worst.Slope.Percent, network.In(UpVector.For(worst.PitchDeg, worst.RollDeg)).Channels[channel].Runs[run].SlopePercent!.Value, 1e-9);
            Assert.InRange(worst.PitchDeg, box.PitchMinDeg, box.PitchMaxDeg);
            Assert.InRange(worst.RollDeg, box.RollMinDeg, box.RollMaxDeg);
            if (network.Floors.Count > 1) branched++;
            if (outlets.Count > 1) changes++;
        });
        // The cases are of all kinds: many networks branch, and many runs drain to more than one outlet within the box.
        Assert.True(branched > Networks / 4 && changes > Networks / 20, $"{branched} branch, {changes} change outlet");
    }

    [Fact]
    public void A_single_attitude_is_its_own_worst()
    {
        FloorNetwork network = new([ChannelFloor.Nominal(RandomFloors.Channel(new(3), allowNoLip: false))]);
        WorstPond worst = WorstAttitude.ForDepth(network, 0, new(1, 1, -2, -2))!;
        Assert.Equal(network.In(UpVector.For(1, -2)).Channels[0].PondDepthMm!.Value, worst.Value);
    }

    [Fact]
    public void A_hoop_with_both_ends_open_is_proven_dry()
    {
        double[] heights = [0, 280, 500, 530, 525, 300, 0];
        Channel hoop = new("H", null, [.. heights.Select((z, i) => new ChannelPoint($"H{i}", new(100 * i, 0, z), ChannelShape.HalfRound, 14, 7, null, 0.01,
            i is 0 or 6 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, null, null, 0))]);
        WorstPond worst = WorstAttitude.ForDepth(new FloorNetwork([ChannelFloor.Nominal(hoop)]), 0, new(-2, 4, -3, 3))!;
        Assert.Equal(0, worst.Value);
        Assert.InRange(worst.Bound, 0, 1.01e-4);
    }

    private static IEnumerable<(double Pitch, double Roll)> Attitudes(AttitudeBox box, int grid = Grid)
    {
        for (int i = 0; i <= grid; i++)
        {
            for (int k = 0; k <= grid; k++)
                yield return (box.PitchMinDeg + (box.PitchMaxDeg - box.PitchMinDeg) * i / grid, box.RollMinDeg + (box.RollMaxDeg - box.RollMinDeg) * k / grid);
        }
    }
}
