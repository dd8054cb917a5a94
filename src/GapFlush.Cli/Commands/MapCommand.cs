using System.CommandLine;
using System.Text;
using GapFlush.Cli.Running;
using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;

namespace GapFlush.Cli.Commands;

/// <summary>Draws outline maps from results.</summary>
internal static class MapCommand
{
    private static readonly string[] Kinds = [".svg", ".png", ".pdf"];

    public static Command Create()
    {
        Option<string?> door = new("--door") { Description = "The door to draw; needed where the plan has several, except for PDF, which takes a page a door.", HelpName = "D" };
        Option<string?> results = new("--results") { Description = "results.csv, as inspect wrote it.", HelpName = "F" };
        Option<bool> blank = new("--blank") { Description = "The route sheet to fill in by hand: stations in walking order, and a table to write in." };
        Option<string> file = new("--out") { Description = "The file to write; its ending says which kind: .svg, .png or .pdf.", HelpName = "F", Required = true };
        Command command = new("map", "Draw the outline map of a door from results, or its route sheet to fill in by hand.\n\n"
            + "Example:\n  gapflush map fixtures/dabchick --door P1 --results out/D4-017/results.csv --out p1.pdf\n  gapflush map fixtures/dabchick --door P1 --blank --out p1-route.pdf")
        {
            CommonOptions.Plan, door, results, blank, file, CommonOptions.Quiet,
        };
        command.SetAction(parse => Run(parse, parse.GetValue(door), parse.GetValue(results), parse.GetValue(blank), parse.GetRequiredValue(file)));
        return command;
    }

    private static int Run(ParseResult parse, string? code, string? resultsPath, bool blank, string file)
    {
        Talk talk = new(parse);
        string kind = Path.GetExtension(file).ToLowerInvariant();
        if (!Kinds.Contains(kind)) throw new RefusedException($"--out '{file}' ends in '{kind}'; the map can be written as .svg, .png or .pdf.");
        FitPlan plan = PlanLoading.Plan(parse, talk);
        if (code is not null && plan.FindDoor(code) is null) throw new RefusedException($"the plan has no door '{code}'. {NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])}");
        if (blank && resultsPath is not null) throw new RefusedException("--blank and --results exclude one another: a route sheet holds no values.");
        if (blank)
        {
            Door[] asked = [.. plan.Doors.Where(d => code is null || d.Code == code)];
            return Write(talk, file, kind, [.. kind == ".pdf" ? asked.SelectMany(d => RouteSheet.Layout(plan, d)) : asked.Select(d => RouteSheet.LayoutOnOne(plan, d))], "the plan", asked);
        }
        if (resultsPath is null) throw new RefusedException("nothing to draw: give --results F, the results.csv of an inspection, or --blank for a route sheet.");
        IReadOnlyList<ResultRow> rows = ResultsReader.Read(Disk.Input(resultsPath), plan).Use(talk);
        List<Door> doors = [.. plan.Doors.Where(d => (code is null || d.Code == code) && rows.Any(r => r.Measurement.Door == d.Code))];
        if (doors.Count == 0) throw new RefusedException($"'{resultsPath}' has no rows of {(code is null ? "any door of the plan" : $"door {code}")}.");
        List<Sheet> sheets = [.. doors.Select(d => Layout(plan, d, [.. rows.Where(r => r.Measurement.Door == d.Code)]))];
        return Write(talk, file, kind, sheets, $"'{resultsPath}'", doors);
    }

    private static int Write(Talk talk, string file, string kind, List<Sheet> sheets, string source, IEnumerable<Door> doors)
    {
        if (sheets.Count > 1 && kind != ".pdf") throw new RefusedException($"{source} has several doors ({string.Join(", ", doors.Select(d => d.Code))}), and a {kind} file holds one; choose with --door, or write a .pdf.");
        Disk.Write(file, kind switch
        {
            ".svg" => Encoding.UTF8.GetBytes(SvgWriter.Write(sheets[0])),
            ".png" => SheetPainter.ToPng(sheets[0]),
            _ => SheetPainter.ToPdf(sheets, sheets[0].Title),
        });
        talk.Say($"Written to {file}.");
        return ExitCode.AllWithin;
    }

    private static Sheet Layout(FitPlan plan, Door door, IReadOnlyList<ResultRow> rows) =>
        DoorMap.Layout(new DoorMapContent(plan, door, string.Join(", ", rows.Select(r => r.Measurement.Build).Distinct()), rows.Select(r => r.Measurement.Stage).FirstOrDefault(s => s is not null), rows, [], 0));
}
