using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Drainage;

/// <summary>Puts gutter and seal together: where water stands or runs over beside a run of seal that presses less than it must.</summary>
/// <remarks>
/// <para>Method: the seal is walked in steps of <see cref="StepMm"/>, its compression straight from station to station; each place lies beside the water when the
/// nearest place of the channel's floor lies in the wet stretch and no farther than <see cref="ReachMm"/>. So a pond shorter than the spacing of the stations is not
/// missed. Each place counts for its nearer station, and each station for its worst place. METHOD.md, eq. 27.</para>
/// <para>What is predicted is a risk, not a leak: a water test decides.</para>
/// </remarks>
public static class WaterPath
{
    /// <summary>A seal farther from the channel than this is not beside it, mm [common practice, no source].</summary>
    public const double ReachMm = 150;

    /// <summary>Water that runs over the lip wets the seal this far to either side, mm [common practice, no source].</summary>
    public const double SplashMm = 50;

    /// <summary>Less water than one drop is no risk, ml [a drop of water is about 0.05 ml; common practice, no source].</summary>
    public const double LeastMl = 0.05;

    /// <summary>Distance of the places looked at along the seal, mm; a compression that runs straight changes by a fifteenth of the step between stations.</summary>
    private const double StepMm = 5;

    /// <summary>The risks of one channel in one attitude, and where nothing can be said because the seal was not read.</summary>
    /// <param name="door">The door of the channel.</param>
    /// <param name="seals">The seal at its stations; empty where it was not read.</param>
    /// <param name="water">The channel in the attitude.</param>
    /// <param name="flow">What it carries there.</param>
    /// <param name="rain">The rain, or null.</param>
    public static IReadOnlyList<IngressRisk> Risks(Door door, IReadOnlyList<SealStation> seals, ChannelWater water, ChannelFlow flow, RainIntensity? rain)
    {
        List<SealPlace> beside = [.. Places(door, seals).Select(p => p with { AlongMm = Foot(p.At, water) }).Where(p => p.AlongMm is not null)];
        string channel = water.Floor.Channel.Name;
        List<IngressRisk> risks = [];
        foreach (Pond pond in water.Ponds)
        {
            string words = pond.DepthMm is double depth
                ? Invariant($"pond{(pond.VolumeMl is double ml ? ml >= LeastMl ? Invariant($" of {ml:0.0} mL") : " of less than 0.1 mL" : "")} ({depth:0.0} mm deep at point {pond.LowPoint} of {channel})")
                : $"water that nothing known holds (point {pond.LowPoint} of {channel})";
            Add(beside.Where(p => p.AlongMm >= pond.FromMm && p.AlongMm <= pond.ToMm), words, pond.HeldBy == PondHeldBy.Lip, !(pond.DepthMm <= 2 * pond.DepthUncertaintyMm || pond.VolumeMl < LeastMl));
        }
        if (flow.OverflowAt is string point && rain is RainIntensity asked && flow.OverflowRainMmPerH <= asked.MmPerH)
        {
            int index = water.Floor.Points.ToList().FindIndex(p => p.Name == point);
            Point3 spill = water.Floor.Points[index].Plan.Position;
            string words = Invariant($"overflow{(flow.OverflowLPerS is double over ? Invariant($" of {over:0.0000} L/s") : "")} at point {point} of {channel}");
            double nearest = beside.Count == 0 ? 0 : beside.Min(p => p.At.DistanceTo(spill));
            Add(beside.Where(p => p.At.DistanceTo(spill) <= nearest + SplashMm), words, overflow: true);
        }
        return risks;

        void Add(IEnumerable<SealPlace> wet, string words, bool overflow, bool isProven = true)
        {
            foreach (IGrouping<string, SealPlace> station in wet.GroupBy(p => p.Station))
            {
                // A place that presses too little is the risk; else one that is not known; else one that is not proven to press enough.
                SealPlace least = station.MinBy(p => p.Margin ?? double.MaxValue)!;
                SealPlace? unknown = station.FirstOrDefault(p => p.Margin is null);
                SealPlace? told = least.Margin < 0 ? least : unknown ?? (least.Margin < least.UncertaintyPercent ? least : null);
                if (told is not null) risks.Add(new(door.Code, station.Key, channel, words, overflow, told.CompressionPercent, told.LeastPercent, told.UncertaintyPercent, told.IsPredicted) { Towards = told.Towards, IsWaterProven = isProven });
            }
        }
    }

    /// <summary>Places along the seal, a step apart, with the compression straight between stations.</summary>
    private static IEnumerable<SealPlace> Places(Door door, IReadOnlyList<SealStation> seals)
    {
        Dictionary<string, SealStation> seal = seals.ToDictionary(s => s.Station);
        for (int i = 0; i < door.Stations.Count; i++)
        {
            Station from = door.Stations[i], to = door.Stations[(i + 1) % door.Stations.Count];
            SealStation? a = seal.GetValueOrDefault(from.Name), b = seal.GetValueOrDefault(to.Name);
            Vector3 way = to.Position - from.Position;
            int steps = Math.Max(1, (int)Math.Ceiling(way.Length / StepMm));
            for (int k = 0; k < steps; k++)
            {
                double share = k / (double)steps;
                SealStation? own = share <= 0.5 ? a : b;
                if (own is { HasSeal: false }) continue;   // nothing presses there, and nothing is missing
                double? compression = k == 0 ? a?.CompressionPercent : a?.CompressionPercent + share * (b?.CompressionPercent - a?.CompressionPercent);
                double? uncertainty = own is null ? null : 2 * Math.Sqrt(own.OwnUncertaintyPercent * own.OwnUncertaintyPercent + own.CommonUncertaintyPercent * own.CommonUncertaintyPercent);
                yield return new(share <= 0.5 ? from.Name : to.Name, from.Position + share * way, compression, own?.LeastPercent, uncertainty, own?.IsPredicted ?? false) { Towards = k == 0 ? null : share <= 0.5 ? to.Name : from.Name };
            }
        }
    }

    /// <summary>The run of the channel next to a place, horizontal from its first point, mm; null where the channel is out of reach.</summary>
    private static double? Foot(Point3 at, ChannelWater water)
    {
        (double Distance, double Along) best = (double.PositiveInfinity, 0);
        for (int i = 0; i + 1 < water.Floor.Points.Count; i++)
        {
            Point3 a = water.Floor.Points[i].Plan.Position, b = water.Floor.Points[i + 1].Plan.Position;
            Vector3 run = b - a;
            double share = Math.Clamp((at - a).Dot(run) / run.Dot(run), 0, 1), distance = at.DistanceTo(a + share * run);
            if (distance < best.Distance) best = (distance, water.DistanceMm[i] + share * (water.DistanceMm[i + 1] - water.DistanceMm[i]));
        }
        return best.Distance <= ReachMm ? best.Along : null;
    }

    private sealed record SealPlace(string Station, Point3 At, double? CompressionPercent, double? LeastPercent, double? UncertaintyPercent, bool IsPredicted)
    {
        public double? AlongMm { get; init; }

        public string? Towards { get; init; }

        public double? Margin => CompressionPercent - LeastPercent;
    }
}
