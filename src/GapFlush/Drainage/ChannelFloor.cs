using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>The floor of one channel as a chain of points, in order.</summary>
public sealed record ChannelFloor
{
    /// <summary>Makes a floor.</summary>
    /// <param name="channel">The channel of the plan.</param>
    /// <param name="points">Its points in order; at least two.</param>
    /// <param name="isMeasured">True where the heights were measured.</param>
    /// <param name="unmeasured">Points of the plan that were not measured and are left out; empty for a nominal floor.</param>
    /// <exception cref="ArgumentException">There are fewer than two points.</exception>
    public ChannelFloor(Channel channel, IReadOnlyList<FloorPoint> points, bool isMeasured, IReadOnlyList<string>? unmeasured = null)
    {
        if (points.Count < 2) throw new ArgumentException($"Channel {channel.Name} needs at least two points, not {points.Count}.", nameof(points));
        (Channel, Points, IsMeasured, Unmeasured) = (channel, points, isMeasured, unmeasured ?? []);
    }

    /// <summary>The channel of the plan.</summary>
    public Channel Channel { get; }

    /// <summary>Points in order.</summary>
    public IReadOnlyList<FloorPoint> Points { get; }

    /// <summary>True where the heights were measured.</summary>
    public bool IsMeasured { get; }

    /// <summary>Points of the plan that were not measured and are left out.</summary>
    public IReadOnlyList<string> Unmeasured { get; }

    /// <summary>The floor as the plan has it, without uncertainty.</summary>
    public static ChannelFloor Nominal(Channel channel) => new(channel, [.. channel.Points.Select(p => new FloorPoint(p, p.Position, 0))], isMeasured: false);

    /// <summary>True where at least one point lets water out.</summary>
    public bool HasOutlet => Points.Any(p => p.IsOutlet);

    /// <summary>Whether a run is meant to fall towards its last point: to the nearest outlet counted in points, at a tie the later one. The way the drawing
    /// means, whatever the heights; null where there is no outlet.</summary>
    /// <param name="run">Index of the run, 0 for the one from the first point to the second.</param>
    public bool? IsMeantForward(int run)
    {
        int back = -1, on = -1;
        for (int i = 0; i <= run; i++)
        {
            if (Points[i].IsOutlet) back = run - i;
        }
        for (int i = Points.Count - 1; i > run; i--)
        {
            if (Points[i].IsOutlet) on = i - run - 1;
        }
        return back < 0 && on < 0 ? null : back < 0 ? true : on >= 0 && on <= back;
    }

    /// <summary>The step of a run from its upper end to the end it is meant to fall to, mm; null where there is no outlet.</summary>
    /// <param name="run">Index of the run.</param>
    public Vector3? MeantStep(int run) =>
        IsMeantForward(run) is bool on ? (on ? Points[run + 1].Position - Points[run].Position : Points[run].Position - Points[run + 1].Position) : null;

    /// <summary>Depth to the lip at a point, mm: its own, else that of the last point before it that has one; null where none has.</summary>
    public double? LipMm(int index)
    {
        for (int i = index; i >= 0; i--)
        {
            if (Points[i].Plan.DepthMm is double depth) return depth;
        }
        return null;
    }
}
