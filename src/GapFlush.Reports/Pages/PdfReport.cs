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
        for (int i = 0; i < report.Blocks.Count; i++) flow.Add(report.Blocks[i], i + 1 < report.Blocks.Count ? report.Blocks[i + 1] : null);
        return flow.Finish();
    }
}
