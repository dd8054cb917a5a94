using GapFlush.Decisions;
using GapFlush.Hanging;
using GapFlush.Reports.Pages;
using GapFlush.Reports.Sections;
using GapFlush.Sections;
using GapFlush.Workflows;

namespace GapFlush.Reports.Inspection;

/// <summary>What a scan adds to the report of a door: how it was laid on the plan, what each deviation is laid to, and sections of the worst stations.</summary>
internal static class ScanPart
{
    private const int MostRows = 12;

    public static void Add(List<Block> blocks, BuildInspection inspection, DoorResult door)
    {
        if (inspection.ScanOf(door.Door.Code) is not DoorScan scan) return;
        blocks.Add(new Heading(2, "How it was scanned"));
        int cut = scan.Stations.Count(s => s.GapMm is not null && s.FlushMm is not null);
        List<(string, string)> facts = [("Scan", Invariant($"{scan.Source}: {scan.Facts.Format}, {scan.Facts.Points} points")), ("Laid on the plan by", scan.Registration.Method)];
        facts.AddRange(scan.Registration.Remarks.Select((r, i) => (i == 0 ? "Registration" : "", r)));
        facts.Add(("Sectioned", Invariant($"{cut} of {scan.Stations.Count} stations{(cut < scan.Stations.Count ? "; the others are missing with their reason" : "")}")));
        if (!scan.ScannerIsKnown) facts.Add(("Scanner", "not in gauges.csv: its own scale and accuracy are not in the uncertainties stated"));
        facts.Add(("Conditions", $"as scanned{(scan.Stage is null ? "" : $", taken to be at stage {scan.Stage}")}; no temperature is known of a scan, and none is corrected for"));
        blocks.Add(new Facts(facts));
        if (ScanFindings.Shares(inspection.Plan, scan) is DeviationShares shares) Laid(blocks, door, shares);
        IReadOnlyList<StationSection> worst = ScanFindings.Worst(inspection.Plan, scan);
        if (worst.Count == 0) return;
        string title = $"Sections at the worst stations, door {door.Door.Code}";
        blocks.Add(new Heading(2, title, StartsPage: true));
        blocks.Add(new Figure(SectionSheet.Page(inspection.Plan, scan, title, ScanFindings.Pictures(inspection.Plan, scan, worst)),
            $"Those nearest to a limit or beyond it, and some that could not be sectioned. ± is the expanded uncertainty (k = 2), limits in brackets. {SectionSheet.SidesMean}", OwnPage: false));
    }

    private static void Laid(List<Block> blocks, DoorResult door, DeviationShares shares)
    {
        DeviationShare[] shown = [.. shares.Shares.Where(s => s.LaidTo is not null).OrderByDescending(s => Math.Abs(s.DeviationMm)).Take(MostRows)];
        int more = shares.Shares.Count(s => s.LaidTo is not null) - shown.Length;
        blocks.Add(new Heading(2, "What a deviation is laid to"));
        if (shown.Length == 0)
        {
            blocks.Add(new Paragraph("Nothing to lay: no gap or flush departs from nominal by more than its uncertainty."));
            return;
        }
        Dictionary<string, int> counts = shares.Shares.Where(s => s.LaidTo is not null).GroupBy(s => s.LaidTo!).ToDictionary(g => g.Key, g => g.Count());
        blocks.Add(new Paragraph($"The scan shows both sides of the seam for themselves. Of the deviations larger than their uncertainty, {string.Join(", ", new[] { "hang", "door", "opening", "edge" }.Where(counts.ContainsKey).Select(w => Invariant($"{counts[w]} are laid to the {w}")))}."));
        blocks.Add(new Table([new("Station", 1), new("What", 1), new("Deviation", 1.2, Align.Right), new("Hang", 1, Align.Right), new("Door", 1, Align.Right), new("Opening", 1.1, Align.Right), new("Edge", 1, Align.Right), new("Laid to", 1.4)],
            [.. shown.Select(s => new Row([s.Station, s.Characteristic.Words, Signed(s.DeviationMm), Signed(s.HangMm), Signed(s.DoorMm), Signed(s.OpeningMm), Signed(s.EdgeMm), s.LaidTo!], Strong: IsOutside(door, s)))],
            $"mm; the four parts add up to the deviation. Hang: the door moved as a rigid body in its opening, which hinges and latches cure. Door and opening: their own shape. Edge: radius, draft and tilt as the definition sees them.{(more > 0 ? Invariant($" {more} smaller ones are left out.") : "")}"));
    }

    private static bool IsOutside(DoorResult door, DeviationShare share) =>
        door.Rows.Any(r => r.Verdict == Verdict.Outside && r.Measurement.Station == share.Station && r.Measurement.Characteristic == share.Characteristic);

    private static string Signed(double mm) => Invariant($"{mm:+0.00;\u22120.00;0.00}");
}
