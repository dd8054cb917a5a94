namespace GapFlush.Reports.Pages;

/// <summary>A list, one item a line.</summary>
/// <param name="Items">The items.</param>
/// <param name="IsNumbered">True for steps to be done in order.</param>
public sealed record Bullets(IReadOnlyList<string> Items, bool IsNumbered = false) : Block;
