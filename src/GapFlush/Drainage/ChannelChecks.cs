using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>What keeps the channels of a plan from being reckoned with, although their file reads well.</summary>
public static class ChannelChecks
{
    // A moulded channel turns a corner; one that turns back by this much has its points out of order, degrees.
    private const double TurnsBackDeg = 150;

    /// <summary>Every such problem of a plan, or that all its channels are in another unit.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="source">Name of the file the channels were read from, for messages.</param>
    public static IReadOnlyList<InputProblem> Problems(FitPlan plan, string source) => ChannelUnits.Problem(plan, source) is InputProblem unit ? [unit] : Problems(plan.Channels, source);

    /// <summary>Every such problem, in the order of the file.</summary>
    /// <param name="channels">The channels of the plan.</param>
    /// <param name="source">Name of the file they were read from, for messages.</param>
    public static IReadOnlyList<InputProblem> Problems(IReadOnlyList<Channel> channels, string source)
    {
        List<InputProblem> problems = [];
        if (channels.Count == 0)
        {
            problems.Add(new(source, 0, "", "", "at least one channel", "Add the channels to channels.csv, a row for each point along the bottom."));
            return problems;
        }
        foreach (Channel channel in channels)
        {
            IReadOnlyList<ChannelPoint> points = channel.Points;
            bool inOrder = true;
            for (int i = 1; inOrder && i + 1 < points.Count; i++)
            {
                Vector3 before = points[i].Position - points[i - 1].Position, after = points[i + 1].Position - points[i].Position;
                double turn = double.RadiansToDegrees(Math.Atan2(before.Cross(after).Length, before.Dot(after)));
                if (turn < TurnsBackDeg) continue;
                inOrder = false;
                problems.Add(new(source, points[i + 1].Line, "point", points[i + 1].Name, "points in the order in which they follow one another along the channel",
                    Invariant($"Channel {channel.Name} turns back by {turn:0} degrees at point {points[i].Name}; put its rows in order.")));
            }
            if (inOrder && FloorNetwork.FindRing([channel]) is (_, ChannelPoint closing))
            {
                problems.Add(new(source, closing.Line, "point", closing.Name, "a channel that runs from one end to another",
                    $"Channel {channel.Name} comes back to a place where it has been, and which way water goes round a ring is not settled; cut it at its high point into two channels."));
            }
        }
        if (problems.Count == 0 && FloorNetwork.FindRing(channels) is (Channel ring, ChannelPoint at))
        {
            problems.Add(new(source, at.Line, "point", at.Name, "channels that join like the branches of a tree",
                $"Channel {ring.Name} closes a ring with others here; cut the ring at its high point."));
        }
        if (problems.Count == 0)
        {
            FloorNetwork network = new([.. channels.Select(ChannelFloor.Nominal)]);
            for (int c = 0; c < channels.Count; c++)
            {
                if (network.HasWayOut(c)) continue;
                problems.Add(new(source, channels[c].Points[0].Line, "outlet", "", $"an outlet of channel {channels[c].Name}, or of a channel it runs into",
                    "Write open-end at an end that is open, or hole and its diameter where there is one."));
            }
        }
        return [.. problems.OrderBy(p => p.Line)];
    }
}
