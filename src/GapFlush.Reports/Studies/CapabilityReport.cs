using GapFlush.Capability;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The quality manager's paper on capability: the answer, the worst places, what is not in control, charts round each door, then every figure with its method, place by place.</summary>
public static class CapabilityReport
{
    private const int Worst = 15;

    /// <summary>Composes the report.</summary>
    public static Report Compose(FitPlan plan, CapabilityStudy study)
    {
        CapabilityLine[] stated = [.. study.Lines.Where(l => l.Capability.Ppk is not null)], unstable = [.. study.Lines.Where(l => l.Capability.InControl == false)];
        (int shown, int all) = study.Tally;
        List<Block> blocks = [StudyPage.Answer(study.Answer, all == 0 ? Mark.Missing : shown == all ? Mark.Within : Mark.Undecided)];
        blocks.Add(new Facts(
        [
            ("Ppk", "distance from the mean to the nearer limit over 3 overall sigma: what the process did. Cpk: the same with the scatter from build to build alone: what it could do"),
            ("Shown", Invariant($"the one-sided 95 % lower bound of Ppk reaches {ProcessCapability.Goal}. Where it does not, the table says how many builds like these it takes")),
            ("Interval", "95 %; exact for normal values (noncentral t), approximate for fitted distributions, by draws for zones and doors, where builds count and not readings"),
            ("Not in control", string.Join("; ", ProcessCapability.ControlRules.Select(r => r.Words)) + ". Figures are still given, but do not predict"),
            ("Never mixed", "stages, definitions and, unless asked, mould revisions"),
        ]));
        if (study.Missing.Count > 0) blocks.Add(new Bullets(study.Missing));
        if (stated.Length > 0)
        {
            blocks.Add(new Heading(1, "The lowest first"));
            blocks.Add(Indices([.. stated.OrderBy(l => l.Capability.Ppk).Take(Worst)], withDoor: true, null));
        }
        blocks.Add(new Heading(1, "Not in control"));
        if (unstable.Length == 0) blocks.Add(new Paragraph(study.Lines.Any(l => l.Capability.InControl == true) ? "Nothing: no chart of individual values signals." : Invariant($"It cannot be told: it takes {ProcessCapability.LeastToTest} builds.")));
        else
        {
            blocks.Add(new Paragraph("Capability is computed all the same, but is not valid for prediction."));
            blocks.Add(new Table([new("Door", 0.6), new("What", 1.6), new("Moulds", 0.8), new("Places", 0.7, Align.Right), new("Lowest Ppk", 0.8, Align.Right), new("Signals", 6)], [.. Groups(unstable).Select(g => new Row(
                [g.Key.Item1, g.Key.Item2.Words, TrendReport.Mould(g.First().Key), Invariant($"{g.Count()}"), StudyPage.Figure(g.Min(l => l.Capability.Ppk), 2), new Cell(Signals([.. g]), Mark.Doubt)]))]));
        }
        if (stated.Length > 0) blocks.Add(new Heading(1, "Charts of Ppk round the doors"));
        foreach (var g in Groups(stated)) blocks.AddRange(StudyPage.Figures(Chart(g)));
        blocks.Add(new Heading(1, "Every figure"));
        foreach (var g in Groups([.. study.Lines.Where(l => l.Capability.Count > 1)]))
        {
            blocks.Add(new Heading(2, Title(g.First())));
            blocks.Add(Indices([.. g], withDoor: false, "s within: from build to build, for a zone or door within builds; s overall: over all builds. Triangle: not in control."));
            blocks.Add(Methods([.. g]));
        }
        CapabilityLine[] single = [.. study.Lines.Where(l => l.Capability.Count < 2)];
        if (single.Length > 0) blocks.Add(new Paragraph(Invariant($"{single.Length} places of one build have no spread to state a capability by ({string.Join(", ", single.SelectMany(l => l.Builds).Distinct().Take(5))}).")));
        return StudyPage.Report(plan, study.Headline, "Capability over builds", blocks);
    }

    private static IEnumerable<IGrouping<(string, Characteristic, string?, string?, string?), CapabilityLine>> Groups(IReadOnlyList<CapabilityLine> lines) =>
        lines.GroupBy(l => (l.Key.Door, l.Key.Characteristic, l.Key.Stage, l.Key.DoorMould, l.Key.SurroundMould));

    // A build that is out of line shows at many places at once: it is told once, with its places.
    private static string Signals(IReadOnlyList<CapabilityLine> lines)
    {
        const int most = 4, places = 6;
        IGrouping<string, string>[] signals = [.. lines.SelectMany(l => l.Capability.Signals.Select(s => (Signal: s, Place: Place(l)))).GroupBy(s => s.Signal, s => s.Place).OrderByDescending(g => g.Count())];
        string told = string.Join("; ", signals.Take(most).Select(g => $"{g.Key}: {string.Join(", ", g.Take(places))}{(g.Count() > places ? Invariant($" and {g.Count() - places} more") : "")}"));
        return signals.Length > most ? Invariant($"{told}; and {signals.Length - most} other signals, which stand by the places below") : told;
    }

    private static string Title(CapabilityLine l) => string.Join(", ", new[] { $"Door {l.Key.Door}, {l.Key.Characteristic.Words}", l.Key.MouldWords, l.Key.Stage is string s ? $"stage {s}" : "" }.Where(t => t.Length > 0));

    private static string Place(CapabilityLine l) => l.Key.Station ?? l.Key.Zone ?? "whole door";

    private static Table Indices(IReadOnlyList<CapabilityLine> lines, bool withDoor, string? caption)
    {
        List<Column> columns = [new("Place", 1.6)];
        if (withDoor) columns.AddRange([new("What", 1.6), new("Moulds", 1)]);
        columns.AddRange([new("Builds", 0.7, Align.Right), new("Mean", 0.9, Align.Right), new("s within", 0.8, Align.Right), new("s overall", 0.8, Align.Right), new("Cpk", 0.7, Align.Right), new("Ppk", 0.7, Align.Right), new("95 % interval", 1.5, Align.Right), new("Outside, %", 0.9, Align.Right), new("Ppk 1.33", 2.6)]);
        return new(columns, [.. lines.Select(l =>
        {
            ProcessCapability c = l.Capability;
            List<Cell> cells = [new Cell(withDoor ? l.Key.PlaceWords : Place(l), c.InControl == false ? Mark.Doubt : null)];
            if (withDoor) cells.AddRange([l.Key.Characteristic.Words, TrendReport.Mould(l.Key)]);
            cells.AddRange([Invariant($"{c.Count}"), StudyPage.Figure(c.Mean, 3), StudyPage.Figure(c.SdWithin, 3), StudyPage.Figure(c.SdOverall, 3), StudyPage.Figure(c.Cpk, 2), StudyPage.Figure(c.Ppk, 2), StudyPage.Range(c.PpkInterval, 2), StudyPage.Percent(c.FractionOutside),
                new Cell(l.Note is "the plan gives no limits" ? "no limits" : c.GoalWords, c.GoalIsShown ? Mark.Within : null)]);
            return new Row(cells);
        })], caption ?? "Moulds: revision of the door mould / of the surround mould. Triangle: not in control, does not predict.");
    }

    private static Table Methods(IReadOnlyList<CapabilityLine> lines) => new(
        [new("Place", 1.2), new("Limits", 1.4), new("Method", 4), new("Normal? A², p", 1.5), new("Expected outside, %, 95 %", 1.8, Align.Right), new("Seen outside", 0.9, Align.Right), new("99 % of builds, k", 2.1)],
        [.. lines.Select(l =>
        {
            ProcessCapability c = l.Capability;
            string between = c.SdBetweenBuilds is double b ? Invariant($"; s between builds {b:0.000}, within {c.SdWithin:0.000}") : "";
            string note = l.Note is string n ? $"; {n}" : "";
            return new Row([Place(l), Inspection.Words.Band(c.Limits), c.Method + between + note, c.NormalityA2 is double a ? Invariant($"{a:0.00}, {c.NormalityProbability:0.000}") : "not tested",
                c.FractionOutsideInterval is { } i ? $"{StudyPage.Percent(i.Low)} to {StudyPage.Percent(i.High)}" : "-", Invariant($"{c.SeenOutside}"),
                c.ToleranceInterval is { } t ? Invariant($"{t.Low:0.00} to {t.High:0.00}, k {c.ToleranceFactor:0.00}") : "-"]);
        })], "99 % of builds: the interval mean ± k s that holds 99 % of builds with 95 % confidence, normal values only.");

    private static IReadOnlyList<Sheet> Chart(IGrouping<(string, Characteristic, string?, string?, string?), CapabilityLine> g) => IntervalChart.Pages(
        "Ppk: " + Title(g.First()), Invariant($"{g.Count(l => l.Capability.GoalIsShown)} of {g.Count()} places show a Ppk of {ProcessCapability.Goal} with 95 % confidence; lowest {g.Min(l => l.Capability.Ppk):0.00}."), "Ppk with 95 % interval",
        "Full: Ppk 1.33 shown with 95 % confidence. Open: not shown. Square: not in control, does not predict. Arrow: goes on. In the order round the door outline.",
        [.. g.Select(l => new IntervalItem(Place(l), l.Capability.Ppk, l.Capability.PpkInterval, l.Capability.GoalIsShown, l.Capability.InControl == false))], [(ProcessCapability.Goal, "1.33"), (0, "0: mean on the limit")], shownUpTo: 4);
}
