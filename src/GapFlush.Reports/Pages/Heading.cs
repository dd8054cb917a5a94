namespace GapFlush.Reports.Pages;

/// <summary>A heading.</summary>
/// <param name="Level">1 for a chapter, 2 for a section in it, 3 below.</param>
/// <param name="Text">The words.</param>
/// <param name="StartsPage">True where a new sheet begins.</param>
public sealed record Heading(int Level, string Text, bool StartsPage = false) : Block;
