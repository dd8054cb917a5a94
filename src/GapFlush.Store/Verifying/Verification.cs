namespace GapFlush.Store.Verifying;

/// <summary>What going through the whole record found.</summary>
/// <param name="Head">Where the record ends.</param>
/// <param name="Findings">What was altered and where, in words; empty where nothing was.</param>
/// <param name="NotedAt">Number of the entry at which the noted head stands; null where none was given or it was not found.</param>
public sealed record Verification(Head Head, IReadOnlyList<Finding> Findings, long? NotedAt)
{
    /// <summary>True where nothing was found.</summary>
    public bool IsWhole => Findings.Count == 0;
}
