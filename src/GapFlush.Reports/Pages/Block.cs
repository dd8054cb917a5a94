namespace GapFlush.Reports.Pages;

/// <summary>A piece of a report. One list of blocks is what both the HTML page and the PDF are made from.</summary>
public abstract record Block;
