using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Drainage;
using GapFlush.Plan;
using GapFlush.Reports.Drains;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;
using GapFlush.Reports.Seals;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Reports.Inspection;

/// <summary>The inspector's paper: the answer first, what is out, missing or doubted, the maps, how the doors hang, every value, conditions and method, lines to sign.</summary>
public static class InspectionReport
{
    /// <summary>Composes the report of a build.</summary>
    /// <param name="inspection">What the inspection says.</param>
    /// <param name="maps">The map of each door, by code.</param>
    public static Report Compose(BuildInspection inspection, IReadOnlyDictionary<string, Sheet> maps)
    {
        List<Block> blocks = [];
        Answer(blocks, inspection);
        ToLookAt(blocks, inspection);
        DoubtsPart(blocks, inspection);
        foreach (DoorResult door in inspection.Doors)
        {
            IReadOnlyList<Block> drains = inspection.Drainage is DrainResult drainage ? DrainPages.Of(drainage, door.Door.Code) : [];
            if (!IsTouched(inspection, door))
            {
                if (drains.Count > 0) blocks.AddRange([new Heading(1, $"Door {door.Door.Code}, {door.Door.Title}: drains only", StartsPage: true), .. drains]);
                continue;
            }
            blocks.Add(new Heading(1, $"Door {door.Door.Code}, {door.Door.Title}", StartsPage: true));
            blocks.Add(new Figure(maps[door.Door.Code], $"Outline map of door {door.Door.Code}, seen from outside."));
            HangingPart.Add(blocks, door);
            if (inspection.Adjustments.FirstOrDefault(a => a.Before.Door.Code == door.Door.Code) is Adjustment.DoorAdjustment advice) blocks.AddRange(Adjustments.AdjustmentPages.Part(inspection.Plan, advice));
            ScanPart.Add(blocks, inspection, door);
            if (inspection.SealOf(door.Door.Code) is DoorSeal seal) blocks.AddRange(SealPages.Of(seal, door.Rows, door.Stage is string at ? inspection.Plan.FindStage(at) : null));
            blocks.Add(new Heading(2, "Conditions"));
            blocks.Add(new Facts(ConditionFacts(inspection, door)));
            blocks.AddRange(drains);
        }
        if (inspection.Drainage is DrainResult all && DrainPages.Of(all, null) is { Count: > 0 } ofNone) blocks.AddRange([new Heading(1, "Drain channels of no door", StartsPage: true), .. ofNone]);
        blocks.Add(new Heading(1, "All values", StartsPage: true));
        blocks.Add(new Paragraph("in: within; open: undecided; out: outside; none: missing. Reasons stand in the list of what is outside, undecided and missing.", ParagraphRole.Note));
        foreach (DoorResult door in inspection.Doors.Where(d => IsTouched(inspection, d))) ValueTables.Add(blocks, door);
        MethodPart.Add(blocks, inspection);
        blocks.Add(new Heading(1, "Sign-off"));
        blocks.Add(new Paragraph(TitleBlock.Caution + " A door that fits is not thereby secure, tight or airworthy.", ParagraphRole.Caution));
        blocks.Add(new Paragraph("Deviations granted, with reference:"));
        blocks.Add(new SignOff(["Inspector", "Second inspector", "Quality"]));
        string stage = string.Join(", ", inspection.Doors.Select(d => d.Stage).OfType<string>().Distinct());
        string issue = inspection.Plan.Issue is string i ? $", issue {i}" : "";
        return new Report($"{inspection.Plan.AircraftType} build {inspection.Build}: door fit",
            $"Plan {inspection.Plan.Name}{issue}{(stage.Length > 0 ? $"; stage {stage}" : "")}; build {inspection.Build}", TitleBlock.Caution, blocks);
    }

    /// <summary>The map of each door, by code.</summary>
    public static IReadOnlyDictionary<string, Sheet> Maps(BuildInspection inspection) =>
        inspection.Doors.AsParallel().Select(d => (d.Door.Code, Sheet: DoorMap.Layout(MapContent(inspection, d)))).ToDictionary(m => m.Code, m => m.Sheet);

    /// <summary>What the title block of a door's map tells of its readings.</summary>
    private static DoorMapContent MapContent(BuildInspection inspection, DoorResult door)
    {
        DoorConditions conditions = inspection.ConditionsOf(door.Door.Code);
        List<(string, string)> facts = [];
        if (IsTouched(inspection, door))
        {
            facts.Add(("Read", conditions.TimeWords));
            facts.Add(("Inspector", conditions.Inspectors.Count == 0 ? "not written" : string.Join(", ", conditions.Inspectors)));
            facts.Add(("Gauges", conditions.Gauges.Count == 0 ? "not written" : string.Join(", ", conditions.GaugeWords)));
            facts.Add(("Temperature", conditions.TemperatureWords));
        }
        ChannelResult[] channels = [.. inspection.Drainage?.Of(door.Door.Code) ?? []];
        if (DrainPages.WorstAttitude(channels) is int attitude)
            facts.Add(("Drain channels", $"{(inspection.Drainage!.LevelsSource is null ? "as the plan has them" : "as measured")}, in attitude {inspection.Drainage.Attitudes[attitude].Name}"));
        return new DoorMapContent(inspection.Plan, door.Door, inspection.Build, door.Stage, door.Rows, facts, door.Data.Doubts.Count) { Channels = channels, Attitude = DrainPages.WorstAttitude(channels) ?? 0 };
    }

    private static bool IsTouched(BuildInspection inspection, DoorResult door) => !inspection.Verdict.NotInspected.Contains(door.Door.Code);

    private static void Answer(List<Block> blocks, BuildInspection inspection)
    {
        blocks.Add(new Heading(1, "The answer"));
        foreach (DoorResult door in inspection.Doors)
        {
            string words = IsTouched(inspection, door) ? door.Words : "not judged: no reading of this door";
            blocks.Add(new Paragraph($"{door.Door.Code}, {door.Door.Title}: {words}.", ParagraphRole.Answer, MarkOf(door.Verdict)));
            if (inspection.Drainage is DrainResult drains && drains.Of(door.Door.Code).Any()) blocks.Add(DrainAnswer(drains, door.Door.Code));
            if (IsTouched(inspection, door) && inspection.SealOf(door.Door.Code) is { HasSeal: true } seal) blocks.Add(new Paragraph($"Seal of {door.Door.Code}: {seal.ShortWords}.", ParagraphRole.Note));
            if (IsTouched(inspection, door)) blocks.Add(new Paragraph($"Data of {door.Door.Code}: {door.Data.Words}{(door.Data.Doubts.Count > 0 ? "; see the doubts below" : "")}.", ParagraphRole.Note));
        }
        if (inspection.Doubts.Any(d => d.Door is null)) blocks.Add(new Paragraph("There are doubts about the readings as a whole; see below before using the verdicts.", ParagraphRole.Body, Mark.Doubt));
    }

    private static Paragraph DrainAnswer(DrainResult drains, string door)
    {
        string channels = string.Join(", ", drains.Of(door).Select(c => $"{c.Channel.Name} {FallStrip.Word(c.Verdict)}"));
        int risks = drains.Of(door).SelectMany(c => c.Attitudes).SelectMany(a => a.Ingress).Where(i => i.IsRisk).Select(i => i.Station).Distinct().Count();
        string water = !drains.SealsRead ? "; no seal was read, so nothing is said of water beside it" : risks > 0 ? $"; water lies against a seal that presses too little at {risks} station{(risks > 1 ? "s" : "")}" : "";
        Verdict worst = drains.Of(door).Select(c => c.Verdict).OrderByDescending(v => v switch { Verdict.Outside => 3, Verdict.Missing => 2, Verdict.Undecided => 1, _ => 0 }).First();
        return new($"Drains of {door}{(drains.LevelsSource is null ? ", as the plan has them" : "")}: {channels}{water}.", ParagraphRole.Body, risks > 0 ? Mark.Outside : DrainPages.MarkOf(worst));
    }

    private static Mark MarkOf(FitVerdict verdict) => verdict switch
    {
        FitVerdict.Within => Mark.Within,
        FitVerdict.Undecided => Mark.Undecided,
        FitVerdict.Outside => Mark.Outside,
        _ => Mark.Missing,
    };

    private static void ToLookAt(List<Block> blocks, BuildInspection inspection)
    {
        blocks.Add(new Heading(1, "Outside, undecided and missing"));
        List<Row> rows = [];
        // Of a door that nobody read only its drains are listed.
        foreach (DoorResult door in inspection.Doors.Select(d => IsTouched(inspection, d) ? d : d with { Rows = [.. d.Rows.Where(r => r.Measurement.Characteristic.Scope == CharacteristicScope.Channel)] }))
        {
            rows.AddRange(door.Rows.Where(r => r.Verdict is Verdict.Outside or Verdict.Undecided).OrderByDescending(r => r.Verdict).ThenByDescending(r => r.Excess).Select(r => RowOf(r)));
            rows.AddRange(MissingRows(door));
        }
        rows.AddRange(inspection.RowsOfNoDoor.Where(r => r.Verdict is Verdict.Outside or Verdict.Undecided or Verdict.Missing).Select(RowOf));
        if (rows.Count == 0)
        {
            blocks.Add(new Paragraph("Nothing: every limited value was read and is within."));
            return;
        }
        blocks.Add(new Table([new("Door", 1), new("Place", 1.4), new("What", 1.6), new("Value", 1, Align.Right), new("Limits", 1.4), new("U", 0.8, Align.Right), new("Verdict", 4)], rows));
    }

    private static Row RowOf(ResultRow r) => new(
        [
            r.Measurement.Door, r.Measurement.Place, r.Measurement.Characteristic.Words, Words.Value(r.Measurement.Value, r.Measurement.Characteristic), Words.Band(r.Limits),
            Words.Value(r.Measurement.ExpandedUncertainty, r.Measurement.Characteristic), new Cell($"{ResultsFile.Word(r.Verdict)}: {r.Reason}", RibbonLayer.MarkFor(r.Verdict)),
        ]);

    // Stations in a row that miss the same value for the same reason are one row: a sheet with a missing side stays readable.
    private static IEnumerable<Row> MissingRows(DoorResult door)
    {
        foreach (IGrouping<(Characteristic, string?), ResultRow> group in door.Rows.Where(r => r.Verdict == Verdict.Missing).GroupBy(r => (r.Measurement.Characteristic, r.Reason)))
        {
            string places = Words.Runs([.. group.Select(r => r.Measurement.Place)], [.. door.Door.Stations.Select(s => s.Name)]);
            yield return new Row([door.Door.Code, places, group.Key.Item1.Words, "", "", "", new Cell($"missing: {group.Key.Item2}", Mark.Missing)]);
        }
    }

    private static void DoubtsPart(List<Block> blocks, BuildInspection inspection)
    {
        blocks.Add(new Heading(1, "Doubts about the data"));
        if (inspection.Doubts.Count == 0)
        {
            blocks.Add(new Paragraph("None: serial, hand, order, units, gauges, stage, temperature and plan issue are as they should be, as far as the readings can tell."));
            return;
        }
        blocks.Add(new Paragraph("Nothing was corrected because of a doubt. The readings are judged as they were written; settle the doubts first."));
        blocks.Add(new Table([new("Door", 1), new("Stations", 2), new("What was seen", 5), new("What to do", 5)],
            [.. inspection.Doubts.Select(d => new Row([new Cell(d.Door ?? "all", Mark.Doubt), d.Stations.Count == 0 ? "all" : StationList(inspection.Plan, d), Words.Sentence(d.Seen, d.Source, d.Line), d.ToDo]))]));
    }

    private static string StationList(FitPlan plan, Doubt doubt) =>
        doubt.Door is string code && plan.FindDoor(code) is Door door ? Words.Runs(doubt.Stations, [.. door.Stations.Select(s => s.Name)]) : string.Join(", ", doubt.Stations);

    private static List<(string, string)> ConditionFacts(BuildInspection inspection, DoorResult door)
    {
        DoorConditions conditions = inspection.ConditionsOf(door.Door.Code);
        Stage? stage = door.Stage is string name ? inspection.Plan.FindStage(name) : null;
        List<(string, string)> facts =
        [
            ("Stage", door.Stage ?? "not named"),
            ("Paint, seal, latch, support", stage is null ? "not in the plan" : string.Join(", ", new[] { stage.Paint, stage.Seal is null ? null : $"seal {stage.Seal}", stage.Latch, stage.Support }.OfType<string>())),
            ("Read", conditions.TimeWords),
            ("Inspector", conditions.Inspectors.Count == 0 ? "not written" : string.Join(", ", conditions.Inspectors)),
            ("Gauges", conditions.Gauges.Count == 0 ? "not written" : string.Join("; ", conditions.GaugeWords)),
            ("Temperature", $"{conditions.TemperatureWords}; values are stated at {Invariant($"{inspection.Plan.ReferenceTemperatureC:0.#}")} °C"),
            ("Gap means", Definitions.Of(door.Door.GapDefinition)),
            ("Flush means", Definitions.Of(door.Door.FlushDefinition)),
            ("Decision rule", inspection.Plan.DecisionRule == DecisionRule.ProveConformity ? "prove conformity (ISO 14253-1): limits moved in by the expanded uncertainty" : "simple acceptance: limits as they stand"),
        ];
        if (inspection.Plan.Builds.FirstOrDefault(b => b.Build == inspection.Build && b.Door == door.Door.Code) is BuildEntry entry)
            facts.Add(("Moulds", $"door {entry.DoorMould ?? "not known"}, surround {entry.SurroundMould ?? "not known"}{(entry.DoorPull is int pull ? Invariant($", pull {pull}") : "")}"));
        facts.Add(("Files", string.Join("; ", inspection.Logs.Select(l => $"{l.Source}, SHA-256 {l.Sha256[..12]}…"))));
        foreach ((string station, string note) in conditions.Notes.Take(12)) facts.Add(($"Note at {station}", note));
        return facts;
    }
}
