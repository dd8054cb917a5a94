using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>A drawing in a report.</summary>
/// <param name="Sheet">The drawing.</param>
/// <param name="Caption">What it shows.</param>
/// <param name="OwnPage">True for a drawing that fills a page of its own in the PDF, in its own size.</param>
public sealed record Figure(Sheet Sheet, string Caption, bool OwnPage = true) : Block;
