using GapFlush.Capability;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>What to chart, and by which rules.</summary>
public sealed record TrendOptions
{
    /// <summary>Only this door; null for all.</summary>
    public string? Door { get; init; }

    /// <summary>Only this characteristic; null for all.</summary>
    public Characteristic? Characteristic { get; init; }

    /// <summary>Rules for the chart of individuals; null for the usual two.</summary>
    public IReadOnlyList<RunRule>? Rules { get; init; }

    /// <summary>First and last build that chart limits come from, in order of making; null for all builds of a chart.</summary>
    public (string First, string Last)? Span { get; init; }

    /// <summary>How many of the first builds of a chart its limits come from; null for all. Does not go with <see cref="Span"/>.</summary>
    public int? FirstBuilds { get; init; }

    /// <summary>True to chart across mould revisions.</summary>
    public bool AcrossRevisions { get; init; }

    /// <summary>Where the limits come from, as a phrase.</summary>
    public string SpanWords => Span is (string first, string last) ? $"limits from builds {first} to {last}" : FirstBuilds is int n ? Invariant($"limits from the first {n} builds of each chart") : "limits from all builds of each chart";
}
