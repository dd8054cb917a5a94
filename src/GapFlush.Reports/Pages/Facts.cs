namespace GapFlush.Reports.Pages;

/// <summary>Labels and what belongs to them, two by two.</summary>
/// <param name="Items">Label and value.</param>
public sealed record Facts(IReadOnlyList<(string Label, string Value)> Items) : Block;
