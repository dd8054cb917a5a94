using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>Lays a report out on A4 sheets and paints them as PDF: the same blocks as the HTML page, in the same order.</summary>
public static class PdfReport
{
    /// <summary>The PDF.</summary>
    public static byte[] Write(Report report) => SheetPainter.ToPdf(Layout(report), report.Title);

    /// <summary>The sheets, before painting.</summary>
    public static IReadOnlyList<Sheet> Layout(Report report)
    {
        PageFlow flow = new(report);
        foreach (Block block in report.Blocks) flow.Add(block);
        return flow.Finish();
    }
}
