using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>How the drain channels of a demo build truly lie, and what a height gauge reads of them.</summary>
internal static class ChannelModel
{
    /// <summary>Standard uncertainty of one height, mm.</summary>
    private const double HeightMm = 0.04;

    /// <summary>The builds whose channels were levelled.</summary>
    public static IReadOnlyList<int> Levelled { get; } = [17, 18, 21];

    /// <summary>The build, channel and place whose floor sags: channel point index, depth at its middle and at its neighbours, mm.</summary>
    internal const int SagBuild = 21, SagPoint = 7;
    internal const string SagChannel = "S1-sill";
    private const double SagMm = 6.0, BesideMm = 2.0;

    /// <summary>The true height of every channel point of a build, mm, in the plan's order.</summary>
    public static IReadOnlyList<(Channel Channel, double[] HeightMm)> Heights(FitPlan plan, int sequence, ulong stream)
    {
        List<(Channel, double[])> heights = [];
        foreach (Channel channel in plan.Channels)
        {
            SeededRandom random = new(Dabchick.Stream(stream, (ulong)(channel.Name[0] * 256 + channel.Name[3])));
            (double a, double b, double c) = (random.Normal(0, 0.10), random.Normal(0, 0.06), random.Normal(0, 0.15));
            heights.Add((channel, [.. channel.Points.Select((p, i) =>
            {
                double s = 2 * Math.PI * i / (channel.Points.Count - 1);
                bool sags = sequence == SagBuild && channel.Name == SagChannel;
                double sag = !sags ? 0 : i == SagPoint ? SagMm : Math.Abs(i - SagPoint) == 1 ? BesideMm : 0;
                return p.Position.Z + c + a * Math.Cos(s) + b * Math.Sin(s) - sag;
            })]));
        }
        return heights;
    }

    /// <summary>The levels file of a build; every height with its expanded uncertainty (k = 2).</summary>
    public static string Levels(FitPlan plan, int sequence, ulong stream)
    {
        SeededRandom random = new(Dabchick.Stream(stream, 5));
        return PlanText.Csv("build,channel,point,z,uncertainty", Heights(plan, sequence, stream).SelectMany(c => c.HeightMm.Select((z, i) =>
            (object?[])[Dabchick.Serial(sequence), c.Channel.Name, c.Channel.Points[i].Name, Math.Round(z + random.Normal(0, HeightMm), 2), 2 * HeightMm])));
    }
}
