using GapFlush.Geometry;

namespace GapFlush.Drainage;

/// <summary>The least slope of a run in any attitude of a box, by the way its water goes there: from a finite list of attitudes, so exact.</summary>
/// <remarks>
/// <para>Method: towards a chosen end the slope falls as the height of that end over the other rises, and that height is linear in the vector up. Water goes to the end whose way out is the
/// lower; a way out is as high as its highest point, so where the way changes, one point of either side stands level with one of the other: (p_i - p_j) . up = 0, a great circle. The
/// least lies therefore at a corner of the box, where the slope is stationary on an edge of it or inside it, where it is stationary on such a circle, where a circle meets an edge
/// of the box, or where two circles meet: all are tried. METHOD.md, eq. 28.</para>
/// <para>On a circle water may go either way; the attitude given lies beside it, on the side that is meant, so its slope is met and not only approached: off the exact least by less
/// than 1e-5 %.</para>
/// <para>Accuracy: never beaten by a dense search, and met, on 200 random networks (WorstAttitudeTests).</para>
/// </remarks>
internal sealed class WorstSlope
{
    private const double TieMm = 1e-9, SlackDeg = 1e-9, BesideDeg = 1e-6;

    private readonly FloorNetwork _network;
    private readonly AttitudeBox _box;
    private readonly int _edge;
    private readonly Vector3 _on;
    private readonly (Point3 At, int Node)[] _sideA, _sideB;

    private WorstSlope(FloorNetwork network, int edge, AttitudeBox box)
    {
        (_network, _edge, _box) = (network, edge, box);
        _on = network.Edges[edge].Step;
        _sideA = [.. Reached(network.Edges[edge].A).Select(n => (network.Nodes[n].Point.Position, n))];
        _sideB = [.. Reached(network.Edges[edge].B).Select(n => (network.Nodes[n].Point.Position, n))];
    }

    /// <summary>The least slope of an edge below a value that is known already; null where there is none.</summary>
    /// <param name="network">The network.</param>
    /// <param name="edge">The run.</param>
    /// <param name="box">The attitudes.</param>
    /// <param name="below">Only a slope less than this is looked for, a ratio.</param>
    public static WorstFall? Of(FloorNetwork network, int edge, AttitudeBox box, double below)
    {
        WorstSlope search = new(network, edge, box);
        WorstFall? best = null;
        foreach (bool toB in new[] { true, false })
        {
            Vector3 step = toB ? search._on : -search._on;
            if (!(box.LeastFall(step).Slope.Ratio < (best?.Slope.Ratio ?? below))) continue;   // no attitude of the box beats what is known
            foreach (Vector3 up in search.Candidates(step))
            {
                double known = best?.Slope.Ratio ?? below;
                if (!(Ratio(step, up) < known) || search.Realised(up, toB) is not (double pitch, double roll)) continue;
                double slope = Ratio(step, UpVector.For(pitch, roll));
                if (double.IsFinite(slope) && slope < known) best = new(new Slope(slope), pitch, roll);
            }
        }
        return best;
    }

    private static double Ratio(Vector3 step, Vector3 up) => -step.Dot(up) / step.Cross(up).Length;

    private IEnumerable<Vector3> Candidates(Vector3 step)
    {
        double[] pitches = [_box.PitchMinDeg, _box.PitchMaxDeg], rolls = [_box.RollMinDeg, _box.RollMaxDeg];
        foreach (double p in pitches)
        {
            foreach (double q in rolls) yield return UpVector.For(p, q);
        }
        // Stationary inside the box, and on its edges, whatever the water does.
        if (InBox(step.ToUnit()) is Vector3 upright) yield return upright;
        foreach (double q in rolls)
        {
            (double sin, double cos) = Math.SinCos(double.DegreesToRadians(q));
            if (At(double.RadiansToDegrees(Math.Atan2(-step.X, step.Z * cos - step.Y * sin)), q) is Vector3 up) yield return up;
        }
        foreach (double p in pitches)
        {
            if (At(p, double.RadiansToDegrees(Math.Atan2(-step.Y, step.Z))) is Vector3 up) yield return up;
        }
        // Circles on which a point of either side stands level with one of the other.
        List<(int A, int B, Vector3 D)> circles = [];
        foreach ((Point3 a, int i) in _sideA)
        {
            foreach ((Point3 b, int k) in _sideB)
            {
                Vector3 d = b - a;
                if (d.Length > 1e-9 && _box.GreatestHeight(d) >= 0 && _box.LeastHeight(d) <= 0) circles.Add((i, k, d.ToUnit()));
            }
        }
        foreach ((_, _, Vector3 d) in circles)
        {
            Vector3 flat = step - step.Dot(d) * d;
            if (flat.Length > 1e-9 && InBox(flat.ToUnit()) is Vector3 stationary) yield return stationary;
            foreach (double q in rolls)
            {
                (double sin, double cos) = Math.SinCos(double.DegreesToRadians(q));
                if (At(double.RadiansToDegrees(Math.Atan((d.Z * cos - d.Y * sin) / d.X)), q) is Vector3 up) yield return up;
            }
            foreach (double p in pitches)
            {
                (double sin, double cos) = Math.SinCos(double.DegreesToRadians(p));
                double size = Math.Sqrt(d.Y * d.Y + d.Z * d.Z), share = d.X * sin / (cos * size);
                if (!(Math.Abs(share) <= 1)) continue;
                double middle = Math.Atan2(-d.Y, d.Z), half = Math.Acos(share);
                foreach (double q in new[] { middle - half, middle + half })
                {
                    if (At(p, double.RadiansToDegrees(Math.IEEERemainder(q, 2 * Math.PI))) is Vector3 up) yield return up;
                }
            }
        }
        // Where the highest point of one side changes while the ways are level: two circles that share a point of the other side.
        for (int i = 0; i < circles.Count; i++)
        {
            for (int k = i + 1; k < circles.Count; k++)
            {
                if (circles[i].A != circles[k].A && circles[i].B != circles[k].B) continue;
                Vector3 both = circles[i].D.Cross(circles[k].D);
                if (both.Length > 1e-12 && InBox(both.ToUnit()) is Vector3 up) yield return up;
            }
        }
    }

    /// <summary>The attitude itself, or one a hair beside it, in which water goes the way meant; null where it does not.</summary>
    private (double PitchDeg, double RollDeg)? Realised(Vector3 up, bool toB)
    {
        (double pitch, double roll) = Angles(up);
        double a = Exit(_network.Edges[_edge].A, up), b = Exit(_network.Edges[_edge].B, up);
        if (double.IsPositiveInfinity(a) && double.IsPositiveInfinity(b)) return null;
        if (toB ? b > a + TieMm : a > b + TieMm) return null;
        for (int k = 0; k <= 16; k++)
        {
            (double sin, double cos) = k == 0 ? (0, 0) : Math.SinCos(k * Math.PI / 8);
            double p = Math.Clamp(pitch + BesideDeg * sin, _box.PitchMinDeg, _box.PitchMaxDeg), q = Math.Clamp(roll + BesideDeg * cos, _box.RollMinDeg, _box.RollMaxDeg);
            if (_network.In(UpVector.For(p, q)).Way(_edge) is (bool goesToB, _) && goesToB == toB) return (p, q);
        }
        return null;
    }

    private double Exit(int node, Vector3 up) => Exit(node, _edge, up);

    // Height, over the run's first point, of the way out through a node without an edge.
    private double Exit(int node, int without, Vector3 up)
    {
        Point3 origin = _network.Nodes[_network.Edges[_edge].A].Point.Position;
        double own = (_network.Nodes[node].Point.Position - origin).Dot(up), best = _network.Nodes[node].Point.IsOutlet ? own : double.PositiveInfinity;
        foreach (int e in _network.EdgesAt(node))
        {
            if (e == without) continue;
            int other = _network.Edges[e].A == node ? _network.Edges[e].B : _network.Edges[e].A;
            best = Math.Min(best, Math.Max(own, Exit(other, e, up)));
        }
        return best;
    }

    /// <summary>The points on one side of the run.</summary>
    private List<int> Reached(int start)
    {
        List<int> found = [start];
        HashSet<int> seen = [start, _network.Edges[_edge].A, _network.Edges[_edge].B];
        for (int i = 0; i < found.Count; i++)
        {
            foreach (int e in _network.EdgesAt(found[i]))
            {
                int other = _network.Edges[e].A == found[i] ? _network.Edges[e].B : _network.Edges[e].A;
                if (e != _edge && seen.Add(other)) found.Add(other);
            }
        }
        return found;
    }

    private Vector3? InBox(Vector3 up)
    {
        Vector3 upwards = up.Z < 0 ? -up : up;
        (double p, double q) = Angles(upwards);
        return At(p, q);
    }

    private Vector3? At(double pitch, double roll) =>
        pitch >= _box.PitchMinDeg - SlackDeg && pitch <= _box.PitchMaxDeg + SlackDeg && roll >= _box.RollMinDeg - SlackDeg && roll <= _box.RollMaxDeg + SlackDeg
            ? UpVector.For(Math.Clamp(pitch, _box.PitchMinDeg, _box.PitchMaxDeg), Math.Clamp(roll, _box.RollMinDeg, _box.RollMaxDeg)) : null;

    private static (double PitchDeg, double RollDeg) Angles(Vector3 up) =>
        (double.RadiansToDegrees(Math.Asin(Math.Clamp(-up.X, -1, 1))), double.RadiansToDegrees(Math.Atan2(-up.Y, up.Z)));
}
