using GapFlush.Geometry;

namespace GapFlush.Drainage;

/// <summary>A network of channels in one attitude: heights, which way water goes, where it stands.</summary>
/// <remarks>
/// <para>Frame: height is up in the attitude, mm over the first point of the network; distance is the horizontal run along each channel from its first point.</para>
/// <para>Method: the level at a point is the lowest at which water can leave, over the floor to an outlet or over the lip: the least, over all ways out, of the
/// highest floor on the way. A pond is a stretch whose level lies above its floor. Water on a run goes to the side whose way out (outlets only) is the lower.
/// METHOD.md, eq. 6 and 7.</para>
/// <para>Accuracy: levels are exact, volumes 1e-12 relative for every section (reference group <c>gutters</c>; PondTests hold them to a raster flood).</para>
/// </remarks>
public sealed class StandingWater
{
    /// <summary>Water shallower than this is rounding, not a pond, mm.</summary>
    internal const double DryMm = 1e-9;

    private readonly FloorNetwork _network;
    private readonly double[] _height, _level;
    private readonly (double Level, int Outlet)[] _exitA, _exitB;   // ways out through end A (B) of each edge without using the edge
    private readonly bool[] _exitKnownA, _exitKnownB;
    private readonly Lazy<IReadOnlyList<ChannelWater>> _channels;

    internal StandingWater(FloorNetwork network, Vector3 up)
    {
        _network = network;
        Up = up;
        Point3 origin = network.Nodes[0].Point.Position;
        _height = [.. network.Nodes.Select(n => (n.Point.Position - origin).Dot(up))];
        _level = Flood.Levels(network, _height, [.. network.Nodes.Select(LipHeight)]);
        int edges = network.Edges.Count;
        (_exitA, _exitB, _exitKnownA, _exitKnownB) = (new (double, int)[edges], new (double, int)[edges], new bool[edges], new bool[edges]);
        _channels = new(() => [.. network.Floors.Select((_, f) => Describe(f, up))]);
    }

    /// <summary>Unit vector up.</summary>
    public Vector3 Up { get; }

    /// <summary>Each channel, in the order of the network.</summary>
    public IReadOnlyList<ChannelWater> Channels => _channels.Value;

    internal FloorNetwork Network => _network;

    internal double Height(int node) => _height[node];

    internal double Depth(int node) => _level[node] - _height[node];

    /// <summary>Water that stands in one channel, mL; for searches, where it must be quick. NaN where a wet run has no section.</summary>
    internal double VolumeMl(int floorIndex)
    {
        double volume = 0;
        int first = _network.FirstNode(floorIndex), count = _network.Floors[floorIndex].Points.Count;
        for (int n = first; n + 1 < first + count; n++)
        {
            double level = Math.Min(_level[n], _level[n + 1]), a = level - _height[n], b = level - _height[n + 1];
            if (a <= DryMm && b <= DryMm) continue;
            double run = _network.Edges[n - floorIndex].Step.Cross(Up).Length, wet = a < 0 ? run * b / (b - a) : b < 0 ? run * a / (a - b) : run;
            volume += _network.Edges[n - floorIndex].Section?.Volume(wet, Math.Max(0, a), Math.Max(0, b)) / 1000 ?? double.NaN;
        }
        return volume;
    }

    /// <summary>The side of an edge to which its water goes: true for B; null where neither side has an outlet. And the outlet's node.</summary>
    internal (bool ToB, int Outlet)? Way(int edge)
    {
        (double a, int outletA) = Exit(edge, atB: false);
        (double b, int outletB) = Exit(edge, atB: true);
        if (double.IsPositiveInfinity(a) && double.IsPositiveInfinity(b)) return null;
        return b <= a ? (true, outletB) : (false, outletA);
    }

    private double LipHeight(FloorNetwork.Node node, int index) => node.LipMm is double lip ? _height[index] + lip * Up.Z : double.PositiveInfinity;

    private (double Level, int Outlet) Exit(int edge, bool atB)
    {
        (bool[] known, (double, int)[] exits) = atB ? (_exitKnownB, _exitB) : (_exitKnownA, _exitA);
        if (known[edge]) return exits[edge];
        int node = atB ? _network.Edges[edge].B : _network.Edges[edge].A;
        (double Level, int Outlet) best = _network.Nodes[node].Point.IsOutlet ? (_height[node], node) : (double.PositiveInfinity, -1);
        foreach (int other in _network.EdgesAt(node))
        {
            if (other == edge) continue;
            (double level, int outlet) = Exit(other, atB: _network.Edges[other].A == node);
            level = Math.Max(level, _height[node]);
            if (level < best.Level) best = (level, outlet);
        }
        known[edge] = true;
        return exits[edge] = best;
    }

    private ChannelWater Describe(int floorIndex, Vector3 up)
    {
        ChannelFloor floor = _network.Floors[floorIndex];
        int first = _network.FirstNode(floorIndex), count = floor.Points.Count;
        double[] distance = new double[count];
        List<ChannelRun> runs = [];
        for (int i = 1; i < count; i++)
        {
            Vector3 step = floor.Points[i].Position - floor.Points[i - 1].Position;
            double rise = _height[first + i] - _height[first + i - 1];
            double run = step.Cross(up).Length;
            distance[i] = distance[i - 1] + run;
            int edge = first - floorIndex + i - 1;   // runs come first among the edges, channel by channel
            (bool ToB, int Outlet)? way = Way(edge);
            runs.Add(new(floor, i - 1, run, rise, way?.ToB, way is (_, int outlet) ? NameOf(outlet) : null));
        }
        List<double> heights = [.. Enumerable.Range(first, count).Select(n => _height[n])];
        List<double> levels = [.. Enumerable.Range(first, count).Select(n => _level[n])];
        return new(floor, distance, heights, levels, runs, Ponds(floor, first, distance), FallMm(floorIndex, first, runs), HighPoints(runs));
    }

    /// <summary>A point as channel/point.</summary>
    internal string NameOf(int node) => $"{_network.Floors[_network.Nodes[node].Floor].Channel.Name}/{_network.Nodes[node].Point.Name}";

    private List<Pond> Ponds(ChannelFloor floor, int first, double[] distance)
    {
        List<Pond> ponds = [];
        int count = distance.Length;
        for (int i = 0; i < count; i++)
        {
            if (!(Depth(first + i) > DryMm)) continue;
            int start = i;
            while (i + 1 < count && Depth(first + i + 1) > DryMm) i++;
            double level = _level[first + start];
            if (double.IsPositiveInfinity(level))
            {
                ponds.Add(new(floor, start, i, start, distance[start], distance[i], null, null, null, PondHeldBy.Nothing));
                continue;
            }
            int low = start;
            for (int k = start; k <= i; k++)
            {
                if (_height[first + k] < _height[first + low]) low = k;
            }
            double? volume = 0;
            double from = distance[start], to = distance[i];
            for (int k = Math.Max(0, start - 1); k < Math.Min(count - 1, i + 1); k++)
            {
                double a = level - _height[first + k], b = level - _height[first + k + 1], run = distance[k + 1] - distance[k];
                double wet = run;
                if (a < 0 || (k < start && a <= DryMm)) wet = run * b / (b - a);
                else if (b < 0 || (k == i && b <= DryMm)) wet = run * a / (a - b);
                if (k < start) from = distance[k + 1] - wet;
                if (k == i) to = distance[k] + wet;
                volume += _network.Edges[first - _network.Nodes[first].Floor + k].Section?.Volume(wet, Math.Max(0, a), Math.Max(0, b));
            }
            (int sill, PondHeldBy by) = Sill(first, start, i, level);
            ponds.Add(new(floor, start, i, low, from, to, level - _height[first + low], volume / 1000, sill < 0 ? null : _network.Nodes[sill].Point, by));
        }
        return ponds;
    }

    /// <summary>What holds a pond at its level: the lip at one of its points, or the floor at a point beside it.</summary>
    private (int Node, PondHeldBy By) Sill(int first, int start, int end, double level)
    {
        for (int k = start; k <= end; k++)
        {
            if (LipHeight(_network.Nodes[first + k], first + k) <= level) return (first + k, PondHeldBy.Lip);
        }
        for (int n = 0; n < _height.Length; n++)
        {
            if (_height[n] == level) return (n, PondHeldBy.Floor);
        }
        for (int n = 0; n < _height.Length; n++)
        {
            if (LipHeight(_network.Nodes[n], n) == level) return (n, PondHeldBy.Lip);
        }
        return (-1, PondHeldBy.Floor);
    }

    /// <summary>Height over its outlet of the point where the water of each stretch starts; the least of them.</summary>
    private double? FallMm(int floorIndex, int first, List<ChannelRun> runs)
    {
        double? least = null;
        for (int r = 0; r < runs.Count; r++)
        {
            if (runs[r].TowardsLast is not bool on) continue;
            int before = on ? r - 1 : r + 1;
            bool isHead = before < 0 || before >= runs.Count || runs[before].TowardsLast != on || runs[before].DrainsTo != runs[r].DrainsTo;
            if (!isHead) continue;
            double fall = _height[first + (on ? r : r + 1)] - _height[Way(first - floorIndex + r)!.Value.Outlet];
            if (least is null || fall < least) least = fall;
        }
        return least;
    }

    private static List<string> HighPoints(List<ChannelRun> runs)
    {
        List<string> high = [];
        for (int r = 1; r < runs.Count; r++)
        {
            if (runs[r - 1].TowardsLast == false && runs[r].TowardsLast == true) high.Add(runs[r].Floor.Points[r].Name);
        }
        return high;
    }
}
