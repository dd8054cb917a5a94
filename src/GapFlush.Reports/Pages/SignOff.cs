namespace GapFlush.Reports.Pages;

/// <summary>Lines to sign on.</summary>
/// <param name="Roles">Who signs.</param>
public sealed record SignOff(IReadOnlyList<string> Roles) : Block;
