using System.CommandLine;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;

namespace GapFlush.Cli.Running;

/// <summary>The report of a study over many builds: its text, then its charts, as one PDF; the text and the JSON beside it.</summary>
internal static class StudyReport
{
    private const string Caution = "A measuring aid. What is acceptable on an aircraft comes from approved data and licensed staff.";

    /// <summary>Where the report goes.</summary>
    public static Option<string?> Out { get; } = new("--out") { Description = "A folder for the report: report.pdf with the charts, report.txt and result.json.", HelpName = "DIR" };

    /// <summary>Prints the result and, where a folder is asked for, writes the report.</summary>
    /// <param name="parse">The call.</param>
    /// <param name="talk">Where to print.</param>
    /// <param name="title">Title of the report.</param>
    /// <param name="answer">The answer in one sentence, which is also the first line of the text.</param>
    /// <param name="text">Writes the text.</param>
    /// <param name="json">The result for JSON.</param>
    /// <param name="charts">Draws the charts.</param>
    public static void Give(ParseResult parse, Talk talk, string title, string answer, Action<TextWriter> text, object json, Func<IEnumerable<Sheet>> charts)
    {
        using StringWriter written = new() { NewLine = "\n" };
        text(written);
        if (parse.GetValue(Out) is string folder)
        {
            IReadOnlyList<Sheet> sheets = [.. TextSheets.Pages(title, answer, written.ToString().Split('\n').Skip(1), Caution), .. charts()];
            Disk.WriteAll(folder, [("report.pdf", SheetPainter.ToPdf(sheets, title)), ("report.txt", System.Text.Encoding.UTF8.GetBytes(written.ToString())), ("result.json", System.Text.Encoding.UTF8.GetBytes(JsonText.Write(json) + "\n"))]);
            talk.Say($"report: {Path.Combine(folder, "report.pdf")}");
        }
        if (talk.Json) talk.Output.WriteLine(JsonText.Write(json));
        else talk.Output.Write(written.ToString());
    }
}
