using GapFlush.Decisions;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>One channel in every attitude of the plan, and in the worst between them.</summary>
public sealed record ChannelResult
{
    /// <summary>The channel of the plan.</summary>
    public required Channel Channel { get; init; }

    /// <summary>Why there is nothing to say of it; null where there is.</summary>
    public string? Reason { get; init; }

    /// <summary>The channel in each attitude; empty where there is nothing to say.</summary>
    public IReadOnlyList<ChannelInAttitude> Attitudes { get; init; } = [];

    /// <summary>The attitudes between the least and greatest pitch and roll of the plan.</summary>
    public required AttitudeBox Box { get; init; }

    /// <summary>The deepest water in any attitude of the box; null where nothing known holds it.</summary>
    public WorstPond? WorstDepth { get; init; }

    /// <summary>The most water in any attitude of the box, mL; null where a section is missing.</summary>
    public WorstPond? WorstVolume { get; init; }

    /// <summary>The least slope of a run in any attitude of the box, by the way its water goes.</summary>
    public (string From, string To, WorstFall Fall)? WorstSlope { get; init; }

    /// <summary>What can be said of the deepest water in the box against the limit; null where there is no limit.</summary>
    public Verdict? BoxVerdict { get; init; }

    /// <summary>That in words; null when within or not judged.</summary>
    public string? BoxReason { get; init; }

    /// <summary>Expanded uncertainty of the deepest water in the box (k = 2), mm; null where it is not known.</summary>
    public double? BoxUncertaintyMm { get; init; }

    /// <summary>What to know that is no fault of slope: hold-up at small holes, films, figures that are guesses.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>The network it is part of, and its place in it; null where there is nothing to say.</summary>
    public (FloorNetwork Network, int Index)? Place { get; init; }

    /// <summary>The worst verdict over all attitudes.</summary>
    public Verdict Verdict
    {
        get
        {
            if (Reason is not null) return Verdict.Missing;
            IEnumerable<Verdict> all = Attitudes.Select(a => a.Verdict);
            return (BoxVerdict is Verdict box ? all.Append(box) : all).MaxBy(ChannelInAttitude.Rank);
        }
    }
}
