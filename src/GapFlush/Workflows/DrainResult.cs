using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>What <see cref="DrainPlan"/> finds.</summary>
/// <param name="Plan">The plan.</param>
/// <param name="Build">Serial of the aircraft, or null for the nominal channels.</param>
/// <param name="LevelsSource">File that the heights came from; null for the nominal channels.</param>
/// <param name="Attitudes">The attitudes looked at.</param>
/// <param name="Rain">The rain of the plan, or null.</param>
/// <param name="Channels">The channels, in the plan's order.</param>
/// <param name="Rows">Every judged value: a slope and a pond depth for each channel and attitude. The zone column holds the channel, the definition column the attitude.</param>
/// <param name="Notices">What the user should know.</param>
public sealed record DrainResult(FitPlan Plan, string? Build, string? LevelsSource, IReadOnlyList<Attitude> Attitudes, RainIntensity? Rain, IReadOnlyList<ChannelResult> Channels,
    IReadOnlyList<ResultRow> Rows, IReadOnlyList<string> Notices)
{
    /// <summary>The caution that goes with every result.</summary>
    public const string Caution = "Geometry does not prove that a drain is clear or a joint tight: a water test decides. Flow figures at this size are guides. "
        + "What is acceptable comes from approved design data; repair and release are for licensed staff.";

    /// <summary>Water tests beside what is predicted for their place; empty where none were given.</summary>
    public IReadOnlyList<WaterTestAgainstPrediction> WaterTests { get; init; } = [];

    /// <summary>Whether any seal reading was given.</summary>
    public bool SealsRead { get; init; }

    /// <summary>What is said of water beside the seal, over all channels and attitudes: never empty.</summary>
    public IReadOnlyList<string> IngressSentences => Ingress(Channels);

    /// <summary>What is said of water beside the seal of one door: never empty where the door has channels.</summary>
    public IReadOnlyList<string> IngressOf(string door) => Ingress([.. Of(door)]);

    /// <summary>True where water stands beside a seal that presses too little, or is not proven to press enough.</summary>
    public bool HasIngressRisk => Channels.SelectMany(c => c.Attitudes).SelectMany(a => a.Ingress).Any(i => i.IsKnown);

    private List<string> Ingress(IReadOnlyList<ChannelResult> channels)
    {
        if (!SealsRead) return ["Not said: no seal was read, so whether water lies against a seal that presses too little is not known."];
        List<string> sentences = [.. channels.SelectMany(c => c.Attitudes).SelectMany(a => IngressWords.Of(a, Rain)).Select(s => char.ToUpperInvariant(s[0]) + s[1..] + ".")];
        string none = channels.Any(c => c.Attitudes.Count == 0) ? "None found on the channels that were judged; the others are not known." : "None: no water stands or runs over beside a seal that presses too little.";
        return sentences.Count > 0 ? sentences : [none];
    }

    /// <summary>True where every channel is within in every attitude.</summary>
    public bool AllWithin => Channels.All(c => c.Verdict == Verdict.Within);

    /// <summary>The channels of a door.</summary>
    public IEnumerable<ChannelResult> Of(string door) => Channels.Where(c => c.Channel.Door == door);
}
