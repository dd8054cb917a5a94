using System.Net;
using System.Text;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>Writes a report as one HTML file: no network, no script, good to print on A4.</summary>
/// <remarks>Every word that comes from a file is escaped here and nowhere else; blocks carry plain text.</remarks>
public static class HtmlReport
{
    /// <summary>The whole page as UTF-8 text.</summary>
    public static string Write(Report report)
    {
        StringBuilder html = new();
        html.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        html.Append($"<title>{Text(report.Title)}</title>\n<style>\n{FontRules.Css}{Resource("report.css")}</style>\n</head>\n<body>\n");
        html.Append($"<header><h1>{Text(report.Title)}</h1>\n<p class=\"running\">{Text(report.RunningHead)}</p></header>\n");
        Contents(html, report);
        html.Append("<main>\n");
        int headings = 0, figures = 0;
        foreach (Block block in report.Blocks) Append(html, block, ref headings, ref figures);
        html.Append($"</main>\n<footer>{Text(report.Caution)}</footer>\n</body>\n</html>\n");
        return html.ToString();
    }

    private static void Contents(StringBuilder html, Report report)
    {
        html.Append("<nav aria-label=\"Contents\"><ul>\n");
        int number = 0;
        foreach (Heading heading in report.Blocks.OfType<Heading>())
        {
            number++;
            if (heading.Level == 1) html.Append($"<li><a href=\"#part-{number}\">{Text(heading.Text)}</a></li>\n");
        }
        html.Append("</ul></nav>\n");
    }

    private static void Append(StringBuilder html, Block block, ref int headings, ref int figures)
    {
        switch (block)
        {
            case Heading heading:
                string sheet = heading.StartsPage ? " class=\"new-sheet\"" : "";
                html.Append($"<h{heading.Level + 1} id=\"part-{++headings}\"{sheet}>{Text(heading.Text)}</h{heading.Level + 1}>\n");
                break;
            case Paragraph paragraph:
                html.Append($"<p class=\"{Class(paragraph.Role)}\">{Marked(paragraph.Mark)}{Text(paragraph.Text)}</p>\n");
                break;
            case Bullets bullets:
                html.Append(bullets.IsNumbered ? "<ol>\n" : "<ul>\n");
                foreach (string item in bullets.Items) html.Append($"<li>{Text(item)}</li>\n");
                html.Append(bullets.IsNumbered ? "</ol>\n" : "</ul>\n");
                break;
            case Facts facts:
                html.Append("<dl>\n");
                foreach ((string label, string value) in facts.Items) html.Append($"<div><dt>{Text(label)}</dt><dd>{Text(value)}</dd></div>\n");
                html.Append("</dl>\n");
                break;
            case Table table:
                Append(html, table);
                break;
            case Figure figure:
                html.Append($"<figure>{SvgWriter.Write(figure.Sheet, embedFonts: false, Invariant($"figure-{++figures}-"))}<figcaption>{Text(figure.Caption)}</figcaption></figure>\n");
                break;
            case SignOff signOff:
                html.Append("<div class=\"sign-off\">\n");
                foreach (string role in signOff.Roles) html.Append($"<p><span>{Text(role)}</span><span>Name</span><span>Date</span><span>Signature</span></p>\n");
                html.Append("</div>\n");
                break;
            default:
                throw new ArgumentException($"No HTML form for a block of type {block.GetType().Name}.", nameof(block));
        }
    }

    private static void Append(StringBuilder html, Table table)
    {
        html.Append("<table>");
        if (table.Caption is not null) html.Append($"<caption>{Text(table.Caption)}</caption>");
        html.Append("\n<thead><tr>");
        foreach (Column column in table.Columns) html.Append($"<th scope=\"col\"{Side(column)}>{Text(column.Title)}</th>");
        html.Append("</tr></thead>\n<tbody>\n");
        foreach (Row row in table.Rows)
        {
            html.Append(row.Strong ? "<tr class=\"strong\">" : "<tr>");
            for (int i = 0; i < row.Cells.Count; i++) html.Append($"<td{Side(table.Columns[i])}>{Marked(row.Cells[i].Mark)}{Text(row.Cells[i].Text)}</td>");
            html.Append("</tr>\n");
        }
        html.Append("</tbody></table>\n");
    }

    private static string Side(Column column) => column.Align == Align.Right ? " class=\"figure\"" : "";

    private static string Class(ParagraphRole role) => role switch
    {
        ParagraphRole.Answer => "answer",
        ParagraphRole.Caution => "caution",
        ParagraphRole.Note => "note",
        _ => "body",
    };

    private static string Marked(Mark? mark) => mark is Mark m ? $"<svg class=\"mark\" viewBox=\"-2 -2 4 4\" role=\"img\" aria-label=\"{MarkShapes.Word(m)}\">{SvgWriter.Fragment(MarkShapes.At(m, new(0, 0), 4))}</svg> " : "";

    private static string Text(string text) => WebUtility.HtmlEncode(text);

    private static string Resource(string name)
    {
        using Stream stream = typeof(HtmlReport).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The resource {name} is not in the assembly.");
        using StreamReader reader = new(stream);
        return reader.ReadToEnd();
    }
}
