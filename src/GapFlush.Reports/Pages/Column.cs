namespace GapFlush.Reports.Pages;

/// <summary>A column of a table.</summary>
/// <param name="Title">Heading.</param>
/// <param name="Weight">Share of the width against the other columns.</param>
/// <param name="Align">How its cells stand.</param>
public sealed record Column(string Title, double Weight, Align Align = Align.Left);
