namespace GapFlush.Reports.Pages;

/// <summary>A report: what stands on every sheet, and the blocks in order.</summary>
/// <param name="Title">Title, on the first sheet and in the file's own description.</param>
/// <param name="RunningHead">Short line at the head of every sheet.</param>
/// <param name="Caution">Line at the foot of every sheet.</param>
/// <param name="Blocks">The content.</param>
public sealed record Report(string Title, string RunningHead, string Caution, IReadOnlyList<Block> Blocks);
