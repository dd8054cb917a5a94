using GapFlush.Decisions;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>One channel in one attitude, judged.</summary>
public sealed record ChannelInAttitude
{
    /// <summary>The attitude.</summary>
    public required Attitude Attitude { get; init; }

    /// <summary>Heights, runs and ponds.</summary>
    public required ChannelWater Water { get; init; }

    /// <summary>What it carries.</summary>
    public required ChannelFlow Flow { get; init; }

    /// <summary>The runs against their least slope, in order.</summary>
    public required IReadOnlyList<RunVerdict> Runs { get; init; }

    /// <summary>Limits of the pond depth, mm; null where the plan gives none.</summary>
    public Limits? PondLimits { get; init; }

    /// <summary>Expanded uncertainty of the pond depth (k = 2), mm; null where it is not known.</summary>
    public double? PondUncertaintyMm { get; init; }

    /// <summary>What can be said of the pond depth; null where the plan gives no limit.</summary>
    public Verdict? PondVerdict { get; init; }

    /// <summary>That in words; null when within or not judged.</summary>
    public string? PondReason { get; init; }

    /// <summary>What can be said of the rain; null where it cannot be told.</summary>
    public Verdict? FlowVerdict { get; init; }

    /// <summary>That in words; null when within or not judged.</summary>
    public string? FlowReason { get; init; }

    /// <summary>Points of the channel that were not measured; empty for a nominal floor.</summary>
    public IReadOnlyList<string> Unmeasured => Water.Floor.Unmeasured;

    /// <summary>Where water lies beside a seal that presses too little, or whose compression is not known.</summary>
    public IReadOnlyList<IngressRisk> Ingress { get; init; } = [];

    /// <summary>The run that decides on slope: of the worst verdict, the one that falls least over its limit.</summary>
    public RunVerdict DecidingRun => Runs.OrderByDescending(r => Rank(r.Verdict)).ThenBy(r => (r.Run.SlopePercent ?? double.MaxValue) - (r.Limits.Lower ?? 0)).First();

    /// <summary>The verdict on the channel in this attitude: outside over missing over undecided over within.</summary>
    public Verdict Verdict
    {
        get
        {
            Verdict worst = DecidingRun.Verdict;
            foreach (Verdict? other in new[] { PondVerdict, FlowVerdict, Unmeasured.Count > 0 ? Decisions.Verdict.Missing : null })
            {
                if (other is Verdict verdict && Rank(verdict) > Rank(worst)) worst = verdict;
            }
            return worst;
        }
    }

    /// <summary>Why, a sentence for each thing that is not within.</summary>
    public IReadOnlyList<string> Reasons =>
    [
        .. Runs.Where(r => r.Reason is not null).Select(r => $"run {r.Run.From} to {r.Run.To}: {r.Reason}"),
        .. new[] { PondReason, FlowReason }.OfType<string>(),
        .. Unmeasured.Count > 0 ? new[] { $"not measured: point{(Unmeasured.Count > 1 ? "s" : "")} {string.Join(", ", Unmeasured)}" } : [],
    ];

    internal static int Rank(Verdict verdict) => verdict switch
    {
        Decisions.Verdict.Outside => 3,
        Decisions.Verdict.Missing => 2,
        Decisions.Verdict.Undecided => 1,
        _ => 0,
    };
}
