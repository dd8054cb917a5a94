namespace GapFlush.Reports.Pages;

/// <summary>A list, one item a line.</summary>
/// <param name="Items">The items.</param>
public sealed record Bullets(IReadOnlyList<string> Items) : Block;
