using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Rain running through a network of channels in one attitude.</summary>
/// <remarks>
/// <para>Method: each point's catchment enters at the point and goes by the way of the water (METHOD.md, eq. 6); where a point's two runs part it splits evenly.
/// Capacity by Manning at the lip, eq. 25; the surface by eq. 22 from each outlet upwards, branches starting at the depth of their joint; the overflow rain is
/// where that surface touches the lip, to a thousandth.</para>
/// <para>Where the plan gives no roughness n = 0.010 is taken.</para>
/// </remarks>
public sealed class NetworkFlow
{
    /// <summary>No rain above this is looked for, mm/h.</summary>
    public const double MostRainMmPerH = 5000;

    /// <summary>Manning's n where the plan gives none: smooth gel coat or paint [common practice, no source].</summary>
    public const double UsualRoughness = 0.010;

    private const int StepsPerReach = 8;

    // The overflow rain is found to a thousandth: catchments are known to a tenth.
    private const double RainShare = 1e-3;

    private readonly StandingWater _standing;
    private readonly FloorNetwork _network;
    private readonly Water _water;
    private readonly bool?[] _toB;
    private readonly double[] _areaThrough;   // m² of catchment whose water passes each edge
    private readonly double[] _areaAt;        // m² of catchment whose water comes to each node, its own included
    private readonly bool _hasCatchments, _hasSections;

    /// <summary>Sends rain through a network.</summary>
    /// <param name="standing">The network in its attitude.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    public NetworkFlow(StandingWater standing, Water? water = null)
    {
        (_standing, _network, _water) = (standing, standing.Network, water ?? Water.At20C);
        _toB = [.. Enumerable.Range(0, _network.Edges.Count).Select(e => standing.Way(e)?.ToB)];
        _hasCatchments = _network.Nodes.Any(n => n.Point.Plan.CatchmentM2 > 0);
        _hasSections = Enumerable.Range(0, _network.Edges.Count).All(e => _network.IsJoint(e) || _network.Edges[e].Section is not null);
        _areaThrough = new double[_network.Edges.Count];
        _areaAt = [.. Enumerable.Repeat(double.NaN, _network.Nodes.Count)];
        for (int n = 0; n < _areaAt.Length; n++) AreaAt(n);
    }

    /// <summary>What a channel carries.</summary>
    /// <param name="channel">Index of the channel in the network.</param>
    /// <param name="rain">The rain asked for; null where none is given.</param>
    public ChannelFlow Of(int channel, RainIntensity? rain)
    {
        ChannelFloor floor = _network.Floors[channel];
        ChannelWater standing = _standing.Channels[channel];
        double own = floor.Points.Sum(p => p.Plan.CatchmentM2 ?? 0);
        double? inflow = own > 0 ? rain?.LitresPerSecond(own) : null;
        List<HoleInChannel> holes = Holes(channel, floor);
        ChannelFlow flow = Capacity(channel, floor, standing, own, holes) with { InflowLPerS = inflow, Holes = holes, LevelGutterRuleLPerS = LevelRule(floor, standing) };
        if (!_hasSections || !_hasCatchments || standing.Runs.Any(r => r.TowardsLast is null)) return flow;

        if (Overflow(channel, standing) is (double at, string point))
        {
            flow = flow with
            {
                OverflowRainMmPerH = at,
                OverflowAt = point,
                OverflowLPerS = rain is RainIntensity asked && own > 0 ? Math.Max(0, asked.LitresPerSecond(own) - new RainIntensity(at).LitresPerSecond(own)) : null,
            };
        }
        else if (rain is not null && own > 0)
        {
            flow = flow with { OverflowLPerS = 0 };
        }
        return rain is RainIntensity given ? flow with { DepthMm = Depths(given, channel) } : flow;
    }

    private double AreaAt(int node)
    {
        if (!double.IsNaN(_areaAt[node])) return _areaAt[node];
        double area = _network.Nodes[node].Point.Plan.CatchmentM2 ?? 0;
        List<int> away = [];
        foreach (int e in _network.EdgesAt(node))
        {
            if (_toB[e] is not bool toB) continue;
            bool here = (toB ? _network.Edges[e].B : _network.Edges[e].A) == node;
            if (!here) away.Add(e);
            else
            {
                int above = toB ? _network.Edges[e].A : _network.Edges[e].B;
                AreaAt(above);
                area += _areaThrough[e];
            }
        }
        // At an outlet all water leaves.
        foreach (int e in away) _areaThrough[e] = _network.Nodes[node].Point.IsOutlet ? 0 : area / away.Count;
        return _areaAt[node] = area;
    }

    private double? LipMm(int node) => _network.Nodes[node].LipMm * _standing.Up.Z;

    private double Roughness(int node) => _network.Nodes[node].Point.Plan.Roughness ?? UsualRoughness;

    private ChannelFlow Capacity(int channel, ChannelFloor floor, ChannelWater standing, double own, List<HoleInChannel> holes)
    {
        int first = _network.FirstNode(channel);
        (double Factor, string By, UniformFlow? Flow)? least = null;
        string? none = null;
        for (int r = 0; r < standing.Runs.Count; r++)
        {
            ChannelRun run = standing.Runs[r];
            // Litres per second in the run for each litre per second that the channel takes in.
            double share = own > 0 ? _areaThrough[first - channel + r] / own : 1;
            if (!(share > 0)) continue;
            if (run.FallMm is not double fall) none ??= $"run {run.From} to {run.To} reaches no outlet";
            else if (_network.Edges[first - channel + r].Section is not ChannelSection section || LipMm(first + r) is not double lip) none ??= $"width or depth of run {run.From} to {run.To} is not given";
            else if (!(fall > 0)) none ??= $"run {run.From} to {run.To} does not fall to its outlet";
            else if (run.LengthMm > 1e-9)
            {
                UniformFlow full = UniformFlow.AtDepth(section.Scaled(0.001), lip / 1000, Roughness(first + r), fall / run.LengthMm, _water);
                if (least is null || 1000 * full.Flow / share < least.Value.Factor) least = (1000 * full.Flow / share, $"run {run.From} to {run.To}", full);
            }
        }
        if (none is not null) return new() { CapacitySetBy = none };
        foreach (HoleInChannel hole in holes)
        {
            int node = first + floor.Points.ToList().FindIndex(p => p.Name == hole.Point);
            double share = own > 0 ? _areaAt[node] / own : 1;
            if (share > 0 && hole.CapacityLPerS is double passes && (least is null || passes / share < least.Value.Factor)) least = (passes / share, $"hole {hole.Point}", null);
        }
        if (least is not (double capacity, string by, _)) return new() { CapacitySetBy = "no water is led into this channel" };
        return new()
        {
            CapacityLPerS = capacity,
            CapacitySetBy = by,
            Reynolds = least.Value.Flow?.Reynolds,
            SmoothWallSlopePercent = 100 * least.Value.Flow?.SmoothWallSlope,
            CapacitySlopePercent = 100 * least.Value.Flow?.Slope,
            CriticalDepthMm = 1000 * least.Value.Flow?.Critical?.Depth,
        };
    }

    private List<HoleInChannel> Holes(int channel, ChannelFloor floor)
    {
        List<HoleInChannel> holes = [];
        int first = _network.FirstNode(channel);
        for (int i = 0; i < floor.Points.Count; i++)
        {
            if (HoleAt(first + i) is not DrainHole hole) continue;
            double hold = _water.HoldUpHeadMm(hole.DiameterMm!.Value);
            double? lip = LipMm(first + i);
            holes.Add(new(floor.Points[i].Name, hole.DiameterMm.Value, hold, lip is double head ? hole.Flow(head, _water) : null, lip is double from ? Emptying(channel, i, hole, from, Math.Max(1, hold)) : null));
        }
        return holes;
    }

    private DrainHole? HoleAt(int node) =>
        _network.Nodes[node].Point.Plan is { Outlet: ChannelOutlet.Hole, OutletDiameterMm: double diameter } ? DrainHole.Round(diameter) : null;

    /// <summary>Time for the pool over a hole to fall from one head to another, s; null where a section is not given.</summary>
    private double? Emptying(int channel, int index, DrainHole hole, double fromMm, double toMm)
    {
        const int slices = 60;
        if (toMm >= fromMm) return 0;
        double seconds = 0;
        for (int i = 0; i < slices; i++)
        {
            double low = toMm + (fromMm - toMm) * i / slices, high = toMm + (fromMm - toMm) * (i + 1) / slices;
            if (PoolMl(channel, index, high) - PoolMl(channel, index, low) is not double ml) return null;
            seconds += ml / 1000 / hole.Flow((low + high) / 2, _water);
        }
        return seconds;
    }

    /// <summary>Water of this channel under a level plane over a point, as far as it reaches without a break, mL.</summary>
    private double? PoolMl(int channel, int index, double headMm)
    {
        ChannelWater standing = _standing.Channels[channel];
        int first = _network.FirstNode(channel);
        double level = standing.HeightMm[index] + headMm;
        double? volume = 0;
        foreach (int way in new[] { -1, 1 })
        {
            for (int i = index; i + way >= 0 && i + way < standing.HeightMm.Count && standing.HeightMm[i] < level; i += way)
            {
                int run = Math.Min(i, i + way);
                double a = level - standing.HeightMm[i], b = level - standing.HeightMm[i + way], wet = standing.Runs[run].LengthMm * (b < 0 ? a / (a - b) : 1);
                volume += _network.Edges[first - channel + run].Section?.Volume(wet, a, Math.Max(0, b)) / 1000;
            }
        }
        return volume;
    }

    private static double? LevelRule(ChannelFloor floor, ChannelWater standing)
    {
        ChannelPoint point = floor.Points[0].Plan;
        if (floor.LipMm(0) is not double depth || ChannelSection.For(point, out _) is not ChannelSection section) return null;
        // The longest stretch that runs to one outlet is what the rule calls the gutter.
        double longest = 0, here = 0;
        for (int r = 0; r < standing.Runs.Count; r++)
        {
            here = r > 0 && standing.Runs[r].DrainsTo == standing.Runs[r - 1].DrainsTo && standing.Runs[r].TowardsLast == standing.Runs[r - 1].TowardsLast ? here + standing.Runs[r].LengthMm : standing.Runs[r].LengthMm;
            longest = Math.Max(longest, here);
        }
        return LevelGutterRule.For(point.Shape == ChannelShape.HalfRound ? GutterKind.HalfRound : GutterKind.SquareSided, section.Area(depth), longest, depth).DesignLPerS;
    }

    private (double RainMmPerH, string Point)? Overflow(int channel, ChannelWater standing)
    {
        double Margin(double rain) => Surface(new(rain), channel).Margin;

        const double drizzle = 1e-3;
        string At(double rain) => standing.Floor.Points[Surface(new(rain), channel).At].Name;
        if (double.IsPositiveInfinity(Margin(drizzle))) return null;   // no lip, or no water comes this way
        if (Margin(drizzle) <= 0) return (0, At(drizzle));
        double low = drizzle, high = 50;
        while (Margin(high) > 0)
        {
            (low, high) = (high, 2 * high);
            if (high > MostRainMmPerH) return null;
        }
        double at = Root.Between(Margin, low, high, RainShare);
        return (at, At(at));
    }

    private double[] Depths(RainIntensity rain, int channel)
    {
        int first = _network.FirstNode(channel);
        double[] depth = Surface(rain, channel).DepthMm;
        return depth[first..(first + _network.Floors[channel].Points.Count)];
    }

    /// <summary>The surface of the whole network at a rain: depth at every node, mm, and by how much it stays under the lip of a channel where it comes nearest, mm.</summary>
    private (double[] DepthMm, double Margin, int At) Surface(RainIntensity rain, int channel)
    {
        double perM2 = rain.LitresPerSecondM2 / 1000;   // m³/s from a square metre
        double[] depth = new double[_network.Nodes.Count];
        double margin = double.PositiveInfinity;
        int at = 0;

        void Hold(int node, double depthMm, int lipNode)
        {
            depth[node] = Math.Max(depth[node], depthMm);
            if (_network.Nodes[node].Floor == channel && LipMm(lipNode) is double lip && lip - depthMm < margin) (margin, at) = (lip - depthMm, _network.Nodes[node].Index);
        }

        void Walk(int node, double? depthM, int cameBy)
        {
            foreach (int start in Into(node, cameBy))
            {
                int upper = Upper(start);
                if (_network.IsJoint(start))
                {
                    Hold(upper, 1000 * (depthM ?? 0), upper);
                    Walk(upper, depthM, start);
                    continue;
                }
                List<int> chain = [start];
                while (!_network.Nodes[upper].Point.IsOutlet && Into(upper, chain[^1]) is [int next] && !_network.IsJoint(next))
                {
                    chain.Add(next);
                    upper = Upper(next);
                }
                chain.Reverse();
                List<int> kept = [.. chain.Where(e => RunOf(e).LengthMm > 1e-6)];
                if (kept.Count == 0) continue;
                WaterProfile profile = WaterProfile.Solve([.. kept.Select(e => ReachOf(e, perM2))], depthM, _water, StepsPerReach);
                for (int k = 0; k < kept.Count; k++)
                {
                    (int from, int to) = (Upper(kept[k]), Lower(kept[k]));
                    int lipNode = _network.Edges[kept[k]].A;
                    for (int i = 0; i <= StepsPerReach; i++)
                    {
                        double mm = 1000 * profile.Depth[k * (StepsPerReach + 1) + i];
                        if (i == 0) Hold(from, mm, lipNode);
                        else if (i == StepsPerReach) Hold(to, mm, lipNode);
                        else if (_network.Nodes[from].Floor == channel && LipMm(lipNode) is double lip && lip - mm < margin) (margin, at) = (lip - mm, _network.Nodes[i < StepsPerReach / 2 ? from : to].Index);
                    }
                }
                Walk(upper, profile.HeadDepth, chain[0]);
            }
        }

        for (int n = 0; n < depth.Length; n++)
        {
            if (!_network.Nodes[n].Point.IsOutlet) continue;
            double? head = HoleAt(n) is DrainHole hole ? hole.HeadFor(1000 * perM2 * _areaAt[n], _water) / 1000 : null;
            if (head is double m) Hold(n, 1000 * m, n);
            Walk(n, head, -1);
        }
        return (depth, margin, at);
    }

    private List<int> Into(int node, int without) => [.. _network.EdgesAt(node).Where(e => e != without && _toB[e] is bool toB && (toB ? _network.Edges[e].B : _network.Edges[e].A) == node)];

    private int Upper(int edge) => _toB[edge]!.Value ? _network.Edges[edge].A : _network.Edges[edge].B;

    private int Lower(int edge) => _toB[edge]!.Value ? _network.Edges[edge].B : _network.Edges[edge].A;

    private ChannelRun RunOf(int edge)
    {
        FloorNetwork.Node node = _network.Nodes[_network.Edges[edge].A];
        return _standing.Channels[node.Floor].Runs[node.Index];
    }

    private Reach ReachOf(int edge, double perM2)
    {
        ChannelRun run = RunOf(edge);
        double flow = perM2 * _areaThrough[edge];
        return new(run.LengthMm / 1000, run.FallMm!.Value / run.LengthMm, _network.Edges[edge].Section!.Scaled(0.001), Roughness(_network.Edges[edge].A), flow, flow);
    }
}
