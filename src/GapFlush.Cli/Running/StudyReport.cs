using System.CommandLine;
using System.Text;
using GapFlush.Reports.Pages;

namespace GapFlush.Cli.Running;

/// <summary>What a study over many builds gives: its text or JSON on standard output, and a report where a folder is asked for.</summary>
internal static class StudyReport
{
    /// <summary>Where the report goes.</summary>
    public static Option<string?> Out { get; } = new("--out") { Description = "A folder for the report with charts: report.html and report.pdf, and result.json beside them.", HelpName = "DIR" };

    /// <summary>Prints the result and, where a folder is asked for, writes the report.</summary>
    /// <param name="parse">The call.</param>
    /// <param name="talk">Where to print.</param>
    /// <param name="text">Writes the text; its first line is the answer.</param>
    /// <param name="json">The result for JSON.</param>
    /// <param name="report">Composes the report.</param>
    /// <param name="changed">A file of the plan that the study changes, by full path: written with the report, whole or not at all, before anything is printed.</param>
    public static void Give(ParseResult parse, Talk talk, Action<TextWriter> text, object json, Func<Report> report, (string FullPath, byte[] Content)? changed = null)
    {
        using StringWriter written = new() { NewLine = "\n" };
        text(written);
        if (parse.GetValue(Out) is string folder)
        {
            Report composed = report();
            Task<byte[]> pdf = Task.Run(() => PdfReport.Write(composed));
            byte[] html = Encoding.UTF8.GetBytes(HtmlReport.Write(composed));
            List<(string, byte[])> files = [("report.html", html), ("report.pdf", pdf.GetAwaiter().GetResult()), ("result.json", Encoding.UTF8.GetBytes(JsonText.Write(json) + "\n"))];
            if (changed is { } file) files.Add(file);   // a full path stays what it is, whatever the folder
            Disk.WriteAll(folder, files);
            talk.Say($"report: {Path.Combine(folder, "report.html")} and report.pdf");
        }
        else if (changed is { } file) Disk.Write(file.FullPath, file.Content);
        if (talk.Json) talk.Output.WriteLine(JsonText.Write(json));
        else talk.Output.Write(written.ToString());
    }
}
