using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Finds the floor of a channel in a point set: its lowest line, by slabs across the channel at the points of the plan.</summary>
/// <remarks>
/// <para>Frame: points in the plan's axes. At each point of the plan a slab stands across the nominal line; s runs along the line, u across it, h square to both,
/// up. The section of the plan is taken off h, so that a curved floor counts as flat.</para>
/// <para>Method: h = a + b s + c |s| by least squares on the points of the slab that lie on the middle of the floor, c left out at the ends; points farther off than 3.5
/// robust standard deviations (scaled median deviation) are left out, three times over. The floor at the point is a. A V-shaped floor is first centred: its two
/// sides must give one height. METHOD.md, eq. 26.</para>
/// <para>Uncertainty: of a, from the scatter about the fit, n - 3 degrees of freedom taken as many; not less than <see cref="LeastUncertaintyMm"/>. Points of one scan may
/// err together; what all share does not change a slope.</para>
/// <para>No floor at a point: fewer than <see cref="LeastPoints"/> points in its slab. Accuracy: planted floors covered as stated (ScannedFloorTests).</para>
/// </remarks>
public sealed class ScannedFloor
{
    /// <summary>A slab with fewer points has no floor.</summary>
    public const int LeastPoints = 12;

    /// <summary>No height is taken to be better than this, mm [common practice, no source].</summary>
    public const double LeastUncertaintyMm = 0.01;

    // How far along the channel a slab reaches, and how far from the nominal floor a moulded one may lie, mm.
    private const double HalfSlabMm = 8, ReachMm = 15, BoxMm = 60;

    private readonly Channel _channel;
    private readonly AircraftAxes _axes;
    private readonly Slab[] _slabs;
    private readonly Point3 _least, _most;

    /// <summary>Makes ready for a channel.</summary>
    /// <param name="channel">The channel, in the plan's axes.</param>
    /// <param name="axes">How the plan's axes lie; the usual ones where not given.</param>
    public ScannedFloor(Channel channel, AircraftAxes? axes = null)
    {
        (_channel, _axes) = (channel, axes ?? AircraftAxes.Usual);
        Point3[] at = [.. channel.Points.Select(p => _axes.Turn(p.Position))];
        // A scan has millions of points and a channel a few slabs: most points end at this box.
        _least = new(at.Min(p => p.X) - BoxMm, at.Min(p => p.Y) - BoxMm, at.Min(p => p.Z) - BoxMm);
        _most = new(at.Max(p => p.X) + BoxMm, at.Max(p => p.Y) + BoxMm, at.Max(p => p.Z) + BoxMm);
        _slabs = [.. at.Select((p, i) => Slab.Make(p, i > 0 ? at[i - 1] : null, i + 1 < at.Length ? at[i + 1] : null, channel.Points[i]))];
    }

    /// <summary>Takes in a point of the scan, in the plan's axes.</summary>
    public void Add(Point3 point)
    {
        Point3 turned = _axes.Turn(point);
        if (turned.X < _least.X || turned.X > _most.X || turned.Y < _least.Y || turned.Y > _most.Y || turned.Z < _least.Z || turned.Z > _most.Z) return;
        foreach (Slab slab in _slabs) slab.Take(turned);
    }

    /// <summary>The floor found; null where fewer than two points of the channel have one.</summary>
    public ChannelFloor? Floor()
    {
        List<FloorPoint> points = [];
        List<string> none = [];
        for (int i = 0; i < _slabs.Length; i++)
        {
            ChannelPoint plan = _channel.Points[i] with { Position = _slabs[i].At };
            if (_slabs[i].Floor() is (double height, double uncertainty)) points.Add(new(plan, _slabs[i].At + height * _slabs[i].Up, uncertainty));
            else none.Add(plan.Name);
        }
        return points.Count < 2 ? null : new(_axes.Turn(_channel), points, isMeasured: true, none);
    }

    private sealed class Slab(Point3 at, Vector3 before, Vector3 after, Vector3 across, Vector3 up, double halfLength, bool isEnd, ChannelPoint plan)
    {
        private readonly List<(double S, double U, double H)> _points = [];
        private readonly double _halfWidth = plan.Shape switch
        {
            ChannelShape.HalfRound => 0.6 * (plan.WidthMm ?? 10) / 2,
            ChannelShape.Triangular => 0.7 * (plan.SideSlope ?? 1) * (plan.DepthMm ?? 5),
            _ => 0.4 * (plan.WidthMm ?? 10),
        };

        public Point3 At => at;

        public Vector3 Up => up;

        public static Slab Make(Point3 at, Point3? before, Point3? after, ChannelPoint plan)
        {
            Vector3 back = before is Point3 b ? (at - b).ToUnit() : default, on = after is Point3 a ? (a - at).ToUnit() : default;
            Vector3 along = (back + on).ToUnit(), vertical = new(0, 0, 1);
            Vector3 across = along.Cross(vertical) is var c && c.Length > 1e-6 ? c.ToUnit() : new(0, 1, 0);
            double shorter = Math.Min(before is Point3 p ? p.DistanceTo(at) : double.PositiveInfinity, after is Point3 q ? q.DistanceTo(at) : double.PositiveInfinity);
            return new(at, before is null ? on : back, after is null ? back : on, across, across.Cross(along), Math.Min(HalfSlabMm, 0.4 * shorter), before is null || after is null, plan);
        }

        public void Take(Point3 point)
        {
            Vector3 d = point - at;
            if (Math.Abs(d.X) > BoxMm || Math.Abs(d.Y) > BoxMm || Math.Abs(d.Z) > BoxMm) return;
            // Heights are over the nominal line on the side where the point lies, so that a bend of the line is no bend of the floor.
            Vector3 line = d.Dot(before + after) < 0 ? before : after;
            (double s, double u) = (d.Dot(line), d.Dot(across));
            Vector3 square = across.Cross(line);
            double h = d.Dot(square) / Math.Max(0.2, square.Dot(up));
            if (Math.Abs(s) <= halfLength && Math.Abs(u) <= _halfWidth + 1 && Math.Abs(h) <= ReachMm) _points.Add((s, u, h));
        }

        public (double Height, double Uncertainty)? Floor()
        {
            double centre = plan.Shape == ChannelShape.Triangular ? Centre() : 0;
            List<(double S, double H)> left = [.. _points.Where(p => Math.Abs(p.U - centre) <= _halfWidth).Select(p => (p.S, p.H - Profile(p.U - centre)))];
            for (int round = 0; ; round++)
            {
                if (left.Count < LeastPoints) return null;
                if (Fit(left) is not (double[] fit, double variance)) return null;
                double[] residual = [.. left.Select(p => p.H - Value(fit, p.S))];
                double sigma = 1.4826 * Median([.. residual.Select(Math.Abs)]);
                List<(double S, double H)> kept = [.. left.Where((_, i) => Math.Abs(residual[i]) <= 3.5 * sigma + 1e-9)];
                if (kept.Count == left.Count || round == 3)
                {
                    double scatter = Math.Sqrt(residual.Sum(r => r * r) / Math.Max(1, left.Count - fit.Length));
                    return (fit[0], Math.Max(LeastUncertaintyMm, scatter * Math.Sqrt(variance)));
                }
                left = kept;
            }
        }

        private double Value(double[] fit, double s) => fit[0] + fit[1] * s + (isEnd ? 0 : fit[2] * Math.Abs(s));

        /// <summary>Height of the plan's section over its lowest line at an offset across.</summary>
        private double Profile(double u) => plan.Shape switch
        {
            ChannelShape.HalfRound when plan.WidthMm is double d => d / 2 - Math.Sqrt(Math.Max(0, d * d / 4 - u * u)),
            ChannelShape.Triangular when plan.SideSlope is double z and > 0 => Math.Abs(u) / z,
            _ => 0,
        };

        /// <summary>Where the two sides of a V meet, across: the shift that gives both sides one height.</summary>
        private double Centre()
        {
            if (plan.SideSlope is not double z || !(z > 0)) return 0;
            double[] port = [.. _points.Where(p => p.U < -0.5).Select(p => p.H + p.U / z)], starboard = [.. _points.Where(p => p.U > 0.5).Select(p => p.H - p.U / z)];
            return port.Length < 4 || starboard.Length < 4 ? 0 : Math.Clamp(z * (Median(port) - Median(starboard)) / 2, -2, 2);
        }

        /// <summary>Least squares, and the variance of the first coefficient for a scatter of 1; null where the points do not fix it.</summary>
        private (double[] Fit, double Variance)? Fit(List<(double S, double H)> points)
        {
            int n = isEnd ? 2 : 3;
            double[,] normal = new double[n, n + 2];
            foreach ((double s, double h) in points)
            {
                double[] row = isEnd ? [1, s] : [1, s, Math.Abs(s)];
                for (int i = 0; i < n; i++)
                {
                    for (int k = 0; k < n; k++) normal[i, k] += row[i] * row[k];
                    normal[i, n] += row[i] * h;
                }
            }
            normal[0, n + 1] = 1;   // beside the heights, the first column of the inverse
            for (int i = 0; i < n; i++)
            {
                int pivot = Enumerable.Range(i, n - i).MaxBy(r => Math.Abs(normal[r, i]));
                if (!(Math.Abs(normal[pivot, i]) > 1e-9)) return null;
                for (int k = 0; k < n + 2; k++) (normal[i, k], normal[pivot, k]) = (normal[pivot, k], normal[i, k]);
                for (int r = 0; r < n; r++)
                {
                    if (r == i) continue;
                    double share = normal[r, i] / normal[i, i];
                    for (int k = i; k < n + 2; k++) normal[r, k] -= share * normal[i, k];
                }
            }
            return ([.. Enumerable.Range(0, n).Select(i => normal[i, n] / normal[i, i])], normal[0, n + 1] / normal[0, 0]);
        }

        private static double Median(double[] values)
        {
            Array.Sort(values);
            return (values[(values.Length - 1) / 2] + values[values.Length / 2]) / 2;
        }
    }
}
