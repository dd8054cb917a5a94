using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Drainage;

/// <summary>Puts gutter and seal together: where water stands or runs over beside a run of seal that presses less than it must.</summary>
/// <remarks>A station lies beside the water when the nearest place of its channel's floor lies in the wet stretch and no farther than <see cref="ReachMm"/>. What is
/// predicted is a risk, not a leak: a water test decides.</remarks>
public static class WaterPath
{
    /// <summary>A seal farther from the channel than this is not beside it, mm [common practice, no source].</summary>
    public const double ReachMm = 150;

    /// <summary>The risks of one channel in one attitude, and where nothing can be said because the seal was not read.</summary>
    /// <param name="door">The door of the channel.</param>
    /// <param name="seals">The seal at its stations; empty where it was not read.</param>
    /// <param name="water">The channel in the attitude.</param>
    /// <param name="flow">What it carries there.</param>
    /// <param name="rain">The rain, or null.</param>
    public static IReadOnlyList<IngressRisk> Risks(Door door, IReadOnlyList<SealStation> seals, ChannelWater water, ChannelFlow flow, RainIntensity? rain)
    {
        Dictionary<string, SealStation> seal = seals.ToDictionary(s => s.Station);
        List<(Station Station, double AlongMm)> beside = [.. door.Stations.Select(s => Foot(s, water)).OfType<(Station, double)>()];
        List<IngressRisk> risks = [];
        foreach (Pond pond in water.Ponds)
        {
            string words = pond.DepthMm is double depth
                ? Invariant($"pond of {(pond.VolumeMl is double ml ? Invariant($"{ml:0.0} mL, ") : "")}{depth:0.0} mm deep at point {pond.LowPoint} of {water.Floor.Channel.Name}")
                : $"water that nothing holds at point {pond.LowPoint} of {water.Floor.Channel.Name}";
            foreach ((Station station, double at) in beside.Where(b => b.AlongMm >= pond.FromMm && b.AlongMm <= pond.ToMm)) Add(station, words, pond.HeldBy == PondHeldBy.Lip);
        }
        if (flow.OverflowAt is string point && rain is RainIntensity asked && flow.OverflowRainMmPerH <= asked.MmPerH)
        {
            int index = water.Floor.Points.ToList().FindIndex(p => p.Name == point);
            string words = Invariant($"overflow at point {point} of {water.Floor.Channel.Name} in {asked.MmPerH:0.#} mm/h");
            if (beside.Count > 0) Add(beside.MinBy(b => Math.Abs(b.AlongMm - water.DistanceMm[index])).Station, words, overflow: true);
        }
        return risks;

        void Add(Station station, string words, bool overflow)
        {
            SealStation? there = seal.GetValueOrDefault(station.Name);
            if (there is { CompressionPercent: double now, LeastPercent: double least } && now >= least) return;
            risks.Add(new(door.Code, station.Name, water.Floor.Channel.Name, words, overflow, there?.CompressionPercent, there?.LeastPercent));
        }
    }

    /// <summary>The run of the channel next to a station, horizontal from its first point, mm; null where the channel is out of reach.</summary>
    private static (Station Station, double AlongMm)? Foot(Station station, ChannelWater water)
    {
        (double Distance, double Along) best = (double.PositiveInfinity, 0);
        for (int i = 0; i + 1 < water.Floor.Points.Count; i++)
        {
            Point3 a = water.Floor.Points[i].Plan.Position, b = water.Floor.Points[i + 1].Plan.Position;
            Vector3 run = b - a;
            double share = Math.Clamp((station.Position - a).Dot(run) / run.Dot(run), 0, 1), distance = station.Position.DistanceTo(a + share * run);
            if (distance < best.Distance) best = (distance, water.DistanceMm[i] + share * (water.DistanceMm[i + 1] - water.DistanceMm[i]));
        }
        return best.Distance <= ReachMm ? (station, best.Along) : null;
    }
}
