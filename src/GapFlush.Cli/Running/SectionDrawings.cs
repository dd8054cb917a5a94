using System.Text;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Sections;
using GapFlush.Sections;
using GapFlush.Workflows;

namespace GapFlush.Cli.Running;

/// <summary>Drawings of chosen cross-sections as files.</summary>
internal static class SectionDrawings
{
    /// <summary>An SVG and a PNG for each station.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="scan">The sectioned scan.</param>
    /// <param name="names">Stations by name, <c>all</c>, or none for the worst.</param>
    /// <exception cref="RefusedException">A station that the door does not have.</exception>
    public static IReadOnlyList<(string Name, byte[] Content)> Files(FitPlan plan, DoorScan scan, IReadOnlyList<string> names)
    {
        string[] known = [.. scan.Stations.Select(s => s.Station.Name)];
        if (names.FirstOrDefault(n => n != "all" && !known.Contains(n)) is string unknown)
            throw new RefusedException([new InputProblem("--stations", 0, "", unknown, $"a station of door {scan.Door.Code}, or all", NearestName.Remedy(unknown, known))]);
        IReadOnlyList<StationSection> chosen = names.Count == 0 ? ScanFindings.Worst(plan, scan) : [.. scan.Stations.Where(s => names.Contains("all") || names.Contains(s.Station.Name))];
        return [.. ScanFindings.Pictures(plan, scan, chosen).AsParallel().AsOrdered().SelectMany(p =>
        {
            Sheet sheet = SectionSheet.One(plan, scan, p);
            string name = $"section-{FileName(scan.Door.Code)}-{FileName(p.Station.Station.Name)}";
            return (IEnumerable<(string, byte[])>)[($"{name}.svg", Encoding.UTF8.GetBytes(SvgWriter.Write(sheet))), ($"{name}.png", SheetPainter.ToPng(sheet))];
        })];
    }

    // Names from a plan may hold what a file name may not.
    private static string FileName(string name) => string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_'));
}
