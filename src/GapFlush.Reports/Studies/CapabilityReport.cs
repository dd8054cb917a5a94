using GapFlush.Capability;
using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The quality manager's paper on capability: the first sheet answers; then characteristic by characteristic, what is not in control, charts round each door, and the figures of every place.</summary>
public static class CapabilityReport
{
    private const int Worst = 10;

    /// <summary>Composes the report.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="study">The study.</param>
    /// <param name="everyFigure">True for the figures of earlier moulds too, and for a second table with the test of normality and the tolerance interval of every place.</param>
    public static Report Compose(FitPlan plan, CapabilityStudy study, bool everyFigure = false)
    {
        CapabilityLine[] stated = [.. study.Lines.Where(l => l.Capability.Ppk is not null)], judged = [.. study.Lines.Where(l => l.Capability.Count > 1)];
        IReadOnlyList<CapabilityLine> newest = study.Newest;
        (int shown, int all) = study.Tally;
        List<Block> blocks = [StudyPage.Answer(study.Answer, all == 0 ? Mark.Missing : shown == all ? Mark.Within : Mark.Undecided)];
        blocks.Add(new Paragraph(Invariant($"Ppk is the distance from the mean to the nearer limit over three standard deviations of all builds; {ProcessCapability.Goal} is the usual goal. It is shown where even the lower 95 % bound reaches the goal, so few builds show little."), ParagraphRole.Note));
        if (judged.Length > 0)
            blocks.Add(Tally([new("Door", 0.7), new("Moulds", 0.9)], [.. judged.GroupBy(l => (l.Key.Door, l.Key.Stage, l.Key.DoorMould, l.Key.SurroundMould)).Select(g => ((IReadOnlyList<Cell>)[g.Key.Door, StudyPage.Moulds(g.Key.DoorMould, g.Key.SurroundMould)], (IReadOnlyList<CapabilityLine>)[.. g]))],
                $"Each place counts once: Ppk 1.33 shown; Ppk above it but more builds needed to show it; Ppk from 1.00 to 1.33; Ppk below 1.00; no Ppk, because no distribution fits or the plan gives no limits. {StudyPage.MouldsKey}"));
        if (newest.Any(l => l.Capability.Ppk is not null))
        {
            blocks.Add(new Heading(1, newest.Count == judged.Length ? "The lowest first" : "The lowest first, newest moulds"));
            blocks.Add(CapabilityTables.Lowest([.. newest.Where(l => l.Capability.Ppk is not null).OrderBy(l => l.Capability.Ppk).Take(Worst)]));
        }
        if (study.Missing.Count > 0)
        {
            blocks.Add(new Heading(1, "Not studied"));
            blocks.Add(new Bullets(study.Missing));
        }
        if (newest.Count > 0)
        {
            blocks.Add(new Heading(1, newest.Count == judged.Length ? "Characteristic by characteristic" : "Characteristic by characteristic, newest moulds", StartsPage: true));
            foreach (var g in newest.GroupBy(l => (l.Key.Door, l.Key.Stage, l.Key.DoorMould, l.Key.SurroundMould)))
            {
                blocks.Add(new Heading(2, string.Join(", ", new[] { $"Door {g.Key.Door}", g.First().Key.MouldWords, g.Key.Stage is string stage ? $"stage {stage}" : "" }.Where(t => t.Length > 0))));
                blocks.Add(Tally([new("What", 3)], [.. g.GroupBy(l => l.Key.Characteristic).Select(c => ((IReadOnlyList<Cell>)[c.Key.Words], (IReadOnlyList<CapabilityLine>)[.. c]))], null));
            }
        }
        NotInControl(blocks, study);
        Method(blocks);
        Charts(blocks, stated);
        Figures(blocks, everyFigure ? judged : newest, judged.Length, everyFigure);
        CapabilityLine[] single = [.. study.Lines.Where(l => l.Capability.Count < 2)];
        if (single.Length > 0) blocks.Add(new Paragraph(Invariant($"{single.Length} places of one build have no spread to state a capability by ({string.Join(", ", single.SelectMany(l => l.Builds).Distinct().Take(5))}).")));
        return StudyPage.Report(plan, study.Headline, "Capability over builds", blocks);
    }

    private static IEnumerable<IGrouping<(string, Characteristic, string?, string?, string?), CapabilityLine>> Groups(IEnumerable<CapabilityLine> lines) =>
        lines.GroupBy(l => (l.Key.Door, l.Key.Characteristic, l.Key.Stage, l.Key.DoorMould, l.Key.SurroundMould));

    // One row for each lot of places: how many of them are how capable.
    private static Table Tally(IReadOnlyList<Column> first, IReadOnlyList<(IReadOnlyList<Cell> First, IReadOnlyList<CapabilityLine> Lines)> rows, string? caption) => new(
        [.. first, new("Places", 0.9, Align.Right), new("1.33 shown", 1, Align.Right), new("more builds", 1, Align.Right), new("1.00 to 1.33", 1, Align.Right), new("below 1.00", 1, Align.Right), new("no Ppk", 0.8, Align.Right), new("not in control", 1, Align.Right), new("values outside", 1, Align.Right), new("lowest Ppk", 0.9, Align.Right), new("there", 1.8)],
        [.. rows.Select(r =>
        {
            CapabilityTally t = CapabilityTally.Of(r.Lines);
            bool alike = r.Lines.All(l => l.Key.Characteristic == r.Lines[0].Key.Characteristic);
            return new Row([.. r.First, Invariant($"{r.Lines.Count}"), Invariant($"{t.Shown}"), Invariant($"{t.TooFewBuilds}"), Invariant($"{t.Below}"), Invariant($"{t.FarBelow}"), Invariant($"{t.NoIndex}"), new Cell(Invariant($"{t.NotInControl}"), t.NotInControl > 0 ? Mark.Doubt : null), new Cell(Invariant($"{t.SeenOutside}"), t.SeenOutside > 0 ? Mark.Outside : null),
                StudyPage.Figure(t.Lowest?.Capability.Ppk, 2), t.Lowest is not CapabilityLine l ? "" : alike ? CapabilityTables.Place(l) : CapabilityTables.Named(l)]);
        })], caption);

    private static void NotInControl(List<Block> blocks, CapabilityStudy study)
    {
        CapabilityLine[] unstable = [.. study.Lines.Where(l => l.Capability.InControl == false)];
        blocks.Add(new Heading(1, "Not in control"));
        if (unstable.Length == 0)
        {
            blocks.Add(new Paragraph(study.Lines.Any(l => l.Capability.InControl == true) ? "Nothing: no chart of individual values signals." : Invariant($"It cannot be told: it takes {ProcessCapability.LeastToTest} builds.")));
            return;
        }
        blocks.Add(new Paragraph("Capability is computed all the same, but is not valid for prediction: first find what made the signal. A step follows from its flush and ends at 0, so that it signals oftener by chance."));
        blocks.Add(new Table([new("Door", 0.6), new("What", 1.6), new("Moulds", 0.8), new("Places", 0.7, Align.Right), new("Lowest Ppk", 0.8, Align.Right), new("Signals", 6)], [.. Groups(unstable).Select(g => new Row(
            [g.Key.Item1, g.Key.Item2.Words, TrendReport.Mould(g.First().Key), Invariant($"{g.Count()}"), StudyPage.Figure(g.Min(l => l.Capability.Ppk), 2), new Cell(Signals([.. g]), Mark.Doubt)]))]));
    }

    // A build that is out of line shows at many places at once: it is told once, with its places.
    private static string Signals(IReadOnlyList<CapabilityLine> lines)
    {
        const int most = 3;
        IGrouping<string, string>[] signals = [.. lines.SelectMany(l => l.Capability.Signals.Select(s => (Signal: s, Place: CapabilityTables.Place(l)))).GroupBy(s => s.Signal, s => s.Place).OrderByDescending(g => g.Count())];
        string told = string.Join("; ", signals.Take(most).Select(g => $"{g.Key}: {StudyPage.Few([.. g])}"));
        return signals.Length > most ? Invariant($"{told}; and {signals.Length - most} other signals") : told;
    }

    private static void Method(List<Block> blocks)
    {
        blocks.Add(new Heading(1, "How it was reckoned"));
        blocks.Add(new Facts(
        [
            ("Ppk", "distance from the mean to the nearer limit over 3 overall standard deviations (s overall): what the process did. With one limit, to that limit"),
            ("Cpk", "the same with the scatter from one build to the next alone (s within), for a zone or door with that within builds: what the process could do"),
            ("95 % interval", "exact for normal values (noncentral t), approximate for fitted distributions, by draws for zones and doors, where builds count and not readings"),
            ("Normal or not", Invariant($"below {ProcessCapability.LeastToTest} builds normal is assumed; from there Anderson-Darling decides at 5 %. Where normal does not hold, percentiles of the distribution that fits best; where none fits, the share outside with its interval")),
            ("Not in control", string.Join("; ", ProcessCapability.ControlRules.Select(r => r.Words)) + ". Of charts of some 30 builds in control about one in eight signals by chance"),
            ("Never mixed", "stages, definitions and, unless asked, mould revisions"),
        ]));
    }

    private static void Charts(List<Block> blocks, CapabilityLine[] stated)
    {
        if (stated.Length == 0) return;
        blocks.Add(new Heading(1, "Charts of Ppk round the doors"));
        blocks.Add(new Paragraph("Stations in the order round the door outline, moulds one below the other, the newest on top; values of zones and of whole doors on sheets of their own."));
        foreach (var door in stated.GroupBy(l => (l.Key.Door, What: l.Key.Station is null ? null : l.Key.Characteristic, l.Key.Stage)))
        {
            (string, IReadOnlyList<IntervalItem>)[] moulds = [.. door.GroupBy(l => (l.Key.DoorMould, l.Key.SurroundMould)).Select(g =>
                (g.First().Key.MouldWords, (IReadOnlyList<IntervalItem>)[.. g.Select(l => new IntervalItem(door.Key.What is null ? CapabilityTables.Named(l) : CapabilityTables.Place(l), l.Capability.Ppk, l.Capability.PpkInterval, l.Capability.GoalIsShown, l.Capability.InControl == false))]))];
            string title = string.Join(", ", new[] { $"Ppk: Door {door.Key.Door}, {door.Key.What?.Words ?? "zones and whole door"}", door.Key.Stage is string s ? $"stage {s}" : "" }.Where(t => t.Length > 0));
            blocks.AddRange(StudyPage.Figures(IntervalChart.Stacked(title, Invariant($"{door.Count(l => l.Capability.GoalIsShown)} of {door.Count()} show a Ppk of {ProcessCapability.Goal} with 95 % confidence; lowest {door.Min(l => l.Capability.Ppk):0.00}."), "Ppk with 95 % interval",
                "Full: Ppk 1.33 shown with 95 % confidence. Open: not shown. Square: not in control, does not predict. Arrow: the interval goes on.", moulds, [(ProcessCapability.Goal, "goal: 1.33"), (0, "0: mean on the limit")], shownUpTo: 4)));
        }
    }

    private static void Figures(List<Block> blocks, IReadOnlyList<CapabilityLine> lines, int of, bool everyFigure)
    {
        if (lines.Count == 0) return;
        blocks.Add(new Heading(1, lines.Count == of ? "Every figure" : "Figures of the newest moulds", StartsPage: true));
        if (!everyFigure) blocks.Add(new Paragraph((lines.Count < of ? Invariant($"{of - lines.Count} series of earlier moulds are not printed here; ") : "") + "--every-figure prints all, with the test of normality and the interval that holds 99 % of builds; result.json beside this report has all in any case."));
        blocks.Add(new Paragraph(CapabilityTables.MethodKey, ParagraphRole.Note));
        foreach (var g in lines.GroupBy(l => (l.Key.Door, What: l.Key.Station is null ? null : l.Key.Characteristic, l.Key.Stage, l.Key.DoorMould, l.Key.SurroundMould)))
        {
            SeriesKey key = g.First().Key;
            // Rows of dashes tell nothing: what has no Ppk and was never outside is counted.
            CapabilityLine[] rows = [.. g.Where(l => everyFigure || l.Capability.Ppk is not null || l.Capability.SeenOutside > 0)];
            blocks.Add(new Heading(2, string.Join(", ", new[] { $"Door {key.Door}, {g.Key.What?.Words ?? "zones and whole door"}", key.MouldWords, key.Stage is string s ? $"stage {s}" : "" }.Where(t => t.Length > 0))));
            if (rows.Length < g.Count()) blocks.Add(new Paragraph(Invariant($"{g.Count() - rows.Length} of {g.Count()} places have no Ppk and no value outside; they are left out here.")));
            if (rows.Length > 0) blocks.Add(CapabilityTables.Indices(rows, named: g.Key.What is null));
            if (everyFigure) blocks.Add(CapabilityTables.Methods(rows, named: g.Key.What is null));
        }
    }
}
