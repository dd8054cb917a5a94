using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Channels that may run into one another, as points joined by straight runs.</summary>
/// <remarks>
/// <para>Frame: the plan's axes, mm, z up when the aircraft stands level.</para>
/// <para>Two channels join where points of theirs lie within <see cref="JoinMm"/> of one another in the plan. A ring of channels is refused: which way water
/// goes round a ring is not settled by heights alone.</para>
/// </remarks>
public sealed class FloorNetwork
{
    /// <summary>Points of two channels nearer than this in the plan are one place, mm.</summary>
    public const double JoinMm = 1.0;

    private readonly List<Node> _nodes = [];
    private readonly List<Edge> _edges = [];
    private readonly List<List<int>> _edgesAt = [];
    private readonly int[] _first;

    /// <summary>Makes a network.</summary>
    /// <exception cref="ArgumentException">There is no floor, or channels form a ring.</exception>
    public FloorNetwork(IReadOnlyList<ChannelFloor> floors)
    {
        if (floors.Count == 0) throw new ArgumentException("A network needs at least one channel.", nameof(floors));
        Floors = floors;
        _first = new int[floors.Count];
        for (int f = 0; f < floors.Count; f++)
        {
            _first[f] = _nodes.Count;
            for (int i = 0; i < floors[f].Points.Count; i++)
            {
                if (i > 0) _edges.Add(new(_nodes.Count - 1, _nodes.Count, ChannelSection.For(floors[f].Points[i - 1].Plan, out _), floors[f].Points[i].Position - floors[f].Points[i - 1].Position));
                _nodes.Add(new(f, i, floors[f].Points[i], floors[f].LipMm(i)));
            }
        }
        List<(int A, int B)> joints = Joints([.. floors.Select(f => (IReadOnlyList<ChannelPoint>)[.. f.Points.Select(p => p.Plan)])], out int? ring);
        if (ring is int at) throw new ArgumentException($"Channels form a ring at channel {floors[_nodes[at].Floor].Channel.Name}, point {_nodes[at].Point.Name}.", nameof(floors));
        _edges.AddRange(joints.Select(j => new Edge(j.A, j.B, null, default)));
        _edgesAt = [.. _nodes.Select(_ => new List<int>())];
        for (int e = 0; e < _edges.Count; e++)
        {
            _edgesAt[_edges[e].A].Add(e);
            _edgesAt[_edges[e].B].Add(e);
        }
    }

    /// <summary>The floors, in the order given.</summary>
    public IReadOnlyList<ChannelFloor> Floors { get; }

    internal IReadOnlyList<Node> Nodes => _nodes;

    internal IReadOnlyList<Edge> Edges => _edges;

    /// <summary>True for a joint between channels; runs come first among the edges, channel by channel.</summary>
    internal bool IsJoint(int edge) => edge >= _nodes.Count - Floors.Count;

    internal int FirstNode(int floor) => _first[floor];

    internal IReadOnlyList<int> EdgesAt(int node) => _edgesAt[node];

    /// <summary>The first point at which channels of a plan close a ring, or null where they make none.</summary>
    public static (Channel Channel, ChannelPoint Point)? FindRing(IReadOnlyList<Channel> channels)
    {
        _ = Joints([.. channels.Select(c => c.Points)], out int? ring);
        if (ring is not int at) return null;
        foreach (Channel channel in channels)
        {
            if (at < channel.Points.Count) return (channel, channel.Points[at]);
            at -= channel.Points.Count;
        }
        return null;
    }

    /// <summary>Networks of the channels that join, each apart from the others; in the order of their first channels.</summary>
    public static IReadOnlyList<FloorNetwork> Apart(IReadOnlyList<ChannelFloor> floors)
    {
        List<List<ChannelFloor>> groups = [];
        foreach (ChannelFloor floor in floors)
        {
            List<List<ChannelFloor>> joined = [.. groups.Where(g => g.Any(f => Meet(f, floor)))];
            List<ChannelFloor> together = [.. joined.SelectMany(g => g), floor];
            if (joined.Count == 0)
            {
                groups.Add(together);
                continue;
            }
            groups[groups.IndexOf(joined[0])] = together;
            foreach (List<ChannelFloor> other in joined.Skip(1)) groups.Remove(other);
        }
        return [.. groups.Select(g => new FloorNetwork(g))];

        static bool Meet(ChannelFloor a, ChannelFloor b) => a.Points.Any(p => b.Points.Any(q => p.Plan.Position.DistanceTo(q.Plan.Position) <= JoinMm));
    }

    /// <summary>True where water of a channel can reach an outlet, of its own or of a channel it runs into.</summary>
    /// <param name="channel">Index of the channel.</param>
    public bool HasWayOut(int channel)
    {
        double[] level = Flood.Levels(this, new double[_nodes.Count], [.. _nodes.Select(_ => double.PositiveInfinity)]);
        return !double.IsPositiveInfinity(level[_first[channel]]);
    }

    /// <summary>How the water stands in an attitude.</summary>
    /// <param name="up">Unit vector up.</param>
    public StandingWater In(Vector3 up) => new(this, up);

    /// <summary>How the water stands in an attitude.</summary>
    public StandingWater In(Attitude attitude) => new(this, UpVector.For(attitude));

    /// <summary>Pairs of points (counted through all chains) that are one place, each place tied together once; and the point that closes a ring, if one does.</summary>
    private static List<(int A, int B)> Joints(IReadOnlyList<IReadOnlyList<ChannelPoint>> chains, out int? ring)
    {
        List<(int Chain, int Index, Point3 At)> points = [.. chains.SelectMany((c, n) => c.Select((p, i) => (n, i, p.Position)))];
        int[] root = [.. Enumerable.Range(0, points.Count)];
        int Find(int i) => root[i] == i ? i : root[i] = Find(root[i]);
        List<(int, int)> joints = [];
        ring = null;
        for (int b = 0; b < points.Count; b++)
        {
            for (int a = 0; a < b; a++)
            {
                if ((points[a].Chain == points[b].Chain && points[b].Index == points[a].Index + 1) || points[a].At.DistanceTo(points[b].At) > JoinMm) continue;
                if (points[a].Chain == points[b].Chain) ring ??= b;
                if (Find(a) == Find(b)) continue;
                root[Find(a)] = Find(b);
                joints.Add((a, b));
            }
        }
        // Places tied together count as one; runs between them must then close no ring.
        for (int b = 1; b < points.Count; b++)
        {
            if (points[b].Index == 0) continue;
            if (Find(b - 1) == Find(b)) ring ??= b;
            root[Find(b - 1)] = Find(b);
        }
        return joints;
    }

    internal sealed record Node(int Floor, int Index, FloorPoint Point, double? LipMm);

    /// <summary>A run of a channel, or (without a section) also a joint between two channels.</summary>
    internal readonly record struct Edge(int A, int B, ChannelSection? Section, Vector3 Step);
}
