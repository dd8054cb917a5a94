namespace GapFlush.Workflows;

/// <summary>A build left out of a comparison of revisions, and why.</summary>
/// <param name="Build">Serial.</param>
/// <param name="Reason">Why, as a phrase.</param>
public sealed record ExcludedBuild(string Build, string Reason);
