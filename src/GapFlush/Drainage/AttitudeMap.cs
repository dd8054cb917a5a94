namespace GapFlush.Drainage;

/// <summary>How a channel drains over a grid of attitudes: what the attitude chart shows.</summary>
/// <param name="PitchesDeg">Pitches, rising.</param>
/// <param name="RollsDeg">Rolls, rising.</param>
/// <param name="Cells">A cell for each pitch and roll: pitch first, then roll.</param>
public sealed record AttitudeMap(IReadOnlyList<double> PitchesDeg, IReadOnlyList<double> RollsDeg, IReadOnlyList<IReadOnlyList<AttitudeCell>> Cells)
{
    /// <summary>Fills a grid.</summary>
    /// <param name="network">The network.</param>
    /// <param name="channel">Index of the channel in it.</param>
    /// <param name="box">The attitudes, ends included.</param>
    /// <param name="pitches">Number of pitches, at least 2 where the box has a range of them.</param>
    /// <param name="rolls">Number of rolls, at least 2 where the box has a range of them.</param>
    public static AttitudeMap Of(FloorNetwork network, int channel, AttitudeBox box, int pitches = 29, int rolls = 29)
    {
        double[] p = Between(box.PitchMinDeg, box.PitchMaxDeg, pitches), q = Between(box.RollMinDeg, box.RollMaxDeg, rolls);
        return new(p, q, [.. p.Select(pitch => (IReadOnlyList<AttitudeCell>)[.. q.Select(roll => Cell(network, channel, pitch, roll))])]);
    }

    private static AttitudeCell Cell(FloorNetwork network, int channel, double pitch, double roll)
    {
        StandingWater water = network.In(UpVector.For(pitch, roll));
        int first = network.FirstNode(channel), count = network.Floors[channel].Points.Count;
        double depth = Enumerable.Range(first, count).Max(water.Depth), volume = double.IsFinite(depth) ? water.VolumeMl(channel) : double.NaN;
        List<int> outlets = [];
        for (int run = 0; run + 1 < count; run++)
        {
            if (water.Way(first - channel + run) is (_, int outlet) && !outlets.Contains(outlet)) outlets.Add(outlet);
        }
        return new(pitch, roll, depth <= StandingWater.DryMm ? 0 : depth, double.IsNaN(volume) ? null : volume, [.. outlets.Select(water.NameOf)]);
    }

    private static double[] Between(double low, double high, int count) => high > low ? [.. Enumerable.Range(0, count).Select(i => low + (high - low) * i / (count - 1))] : [low];
}
