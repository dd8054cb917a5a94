using GapFlush.Plan;
using GapFlush.Reports.Charts;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;
using GapFlush.Revisions;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The tooling engineer's paper: did the edge move, where, what of it is position, size or shape, and what the toolmaker is to do.</summary>
public static class RevisionReport
{
    /// <summary>Composes the report.</summary>
    public static Report Compose(FitPlan plan, RevisionStudy study)
    {
        List<Block> blocks = [StudyPage.Answer(study.Answer, study.Changed.Count > 0 || study.DerivedChanged.Count > 0 ? Mark.Outside : study.Changes.All(c => c.Verdict == ChangeVerdict.Alike) ? Mark.Within : Mark.Undecided)];
        blocks.Add(new Paragraph($"Differences are revision {study.To} less revision {study.From}. Gap positive: opened. Flush positive: the door stands prouder. Intervals are 95 %.", ParagraphRole.Note));
        Toolmaker(blocks, study);
        blocks.Add(new Figure(DifferenceMap.Layout(plan, study, study.Changes), "What changed as hung, seen from outside."));
        if (study.Shapes.Count > 0) blocks.Add(new Figure(DifferenceMap.Layout(plan, study, study.Shapes), "What changed of the shape, the hanging of each build taken out, seen from outside."));
        Derived(blocks, study);
        Parts(blocks, study);
        Wear(blocks, study);
        Builds(blocks, study);
        blocks.Add(new Heading(1, "How it was reckoned"));
        blocks.Add(new Bullets(
        [
            "Each station: difference of means with Welch's t; proven where p, adjusted over all stations, gap and flush, as hung and as shape, and the derived values (Benjamini and Hochberg), is below 5 %.",
            Invariant($"Alike: two one-sided tests against {study.MattersMm:0.00} mm, proven at 5 %."),
            "Movement, size and waves: least squares on each build, then compared build against build like a station; the six movements together by Hotelling's test.",
            "Shape: what the movement of the whole door leaves, so that a door hung a little otherwise does not hide a mould.",
            "A whole mould that moved and a shop that now hangs doors otherwise look alike as hung; only shape tells the mould.",
        ]));
        blocks.Add(new Heading(1, "Every station"));
        blocks.Add(new Paragraph("The charts that follow show every difference with its interval, as hung and of shape."));
        foreach (var g in study.Changes.Concat(study.Shapes).GroupBy(c => (c.Characteristic, c.IsShape)))
        {
            string basis = g.Key.IsShape ? "shape, hanging taken out" : "as hung";
            blocks.AddRange(StudyPage.Figures(IntervalChart.Pages($"Change of {g.Key.Characteristic.Words}, {study.To} less {study.From}, door {study.Door.Code}, {basis}",
                Invariant($"Proven at {g.Count(c => c.Verdict == ChangeVerdict.Changed)} of {g.Count()} stations; proven below {study.MattersMm:0.00} mm at {g.Count(c => c.Verdict == ChangeVerdict.Alike)}."),
                "difference with 95 % interval, mm", "Full: proven, false discoveries held to 5 % over the door. Open: not proven. In the order round the door outline.",
                [.. g.Select(c => new IntervalItem(c.Station.Name, c.DifferenceMm, c.Interval95, c.Verdict == ChangeVerdict.Changed))], [(0, "no difference"), (study.MattersMm, Invariant($"matters: {study.MattersMm:0.00} mm")), (-study.MattersMm, Invariant($"matters: -{study.MattersMm:0.00} mm"))])));
        }
        return StudyPage.Report(plan, study.Headline, $"Mould revisions of door {study.Door.Code}", blocks);
    }

    private static void Toolmaker(List<Block> blocks, RevisionStudy study)
    {
        blocks.Add(new Heading(1, "For the toolmaker"));
        if (study.Corrections.Count == 0)
        {
            blocks.Add(new Paragraph("Nothing: no change is proven, so no correction is given."));
            return;
        }
        blocks.Add(new Paragraph("Only where a change is proven. Each line undoes the change. Ppk (distance from the mean to the nearer limit over three standard deviations; 1.33 is the usual goal) is that of the later revision as it is, and with its mean moved by the correction."));
        blocks.Add(new Table([new("Station", 0.9), new("What", 0.8), new("Basis", 0.8), new("Change, mm", 0.6, Align.Right), new("95 % interval", 2.4, Align.Right), new("Correction", 7), new("Ppk now", 0.7, Align.Right), new("after", 0.7, Align.Right)],
            [.. study.Corrections.Select(c => new Row([c.Change.Station.Name, c.Change.Characteristic.Words, c.Change.IsShape ? "shape" : "as hung", StudyPage.Signed(c.Change.DifferenceMm), $"{StudyPage.Signed(c.Change.Interval95.Low)} to {StudyPage.Signed(c.Change.Interval95.High)}", c.Words, StudyPage.Figure(c.PpkNow, 2), StudyPage.Figure(c.PpkAfter, 2)]))],
            "Shape: the hanging of each build is taken out first."));
    }

    private static void Derived(List<Block> blocks, RevisionStudy study)
    {
        if (study.DerivedWords is not string words) return;
        blocks.Add(new Heading(1, "What it means for seal, gap range and twist"));
        blocks.Add(new Paragraph(words));
        if (study.DerivedChanged.Count == 0) return;
        blocks.Add(new Table([new("Place", 1.4), new("What", 1.6), new("Earlier", 1, Align.Right), new("Later", 1, Align.Right), new("Change", 1, Align.Right), new("95 % interval", 1.8, Align.Right), new("Unit", 0.7)],
            [.. study.DerivedChanged.Select(d => new Row([d.PlaceWords, d.Characteristic.Words, StudyPage.Figure(d.Comparison.Second.Mean, 2), StudyPage.Figure(d.Comparison.First.Mean, 2), StudyPage.Signed(d.Difference), $"{StudyPage.Signed(d.Interval95.Low)} to {StudyPage.Signed(d.Interval95.High)}", d.Characteristic.Unit]))],
            "Only where a change is proven, in the same family of tests as gap and flush. Seal compression only from land gaps that were read."));
    }

    private static void Parts(List<Block> blocks, RevisionStudy study)
    {
        blocks.Add(new Heading(1, "Position, size and shape apart"));
        if (study.Rigid.Count == 0)
        {
            blocks.Add(new Paragraph("Not told: too few builds with gap and flush all round."));
            return;
        }
        blocks.Add(new Paragraph(study.RigidTogether is { } together ? Invariant($"The six movements taken together: {(together.Probability < 0.05 ? "a movement of the whole door is proven" : "no movement of the whole door is proven")} (p = {together.Probability:0.000}).") : "Too few builds to test the six movements together."));
        blocks.Add(new Table([new("Part", 3), new("Change", 1, Align.Right), new("95 % interval", 1.6, Align.Right), new("Unit", 0.7), new("Leaves 0 out?", 1.2)],
            [.. study.Rigid.Concat(study.Size is null ? [] : [study.Size]).Concat(study.Waves).Select(p => new Row([p.Name, StudyPage.Signed(p.Difference, 3), $"{StudyPage.Signed(p.Interval95.Low, 3)} to {StudyPage.Signed(p.Interval95.High, 3)}", p.Unit, p.IsProven ? "yes" : "no"], Strong: p.IsProven))],
            Invariant($"Movements in the plan's axes about the middle of the outline; 1 mrad is 1 mm in a metre. Waves: shape that rises and falls so many times round the door; cosine and sine say where. One line in twenty leaves 0 out by chance.")));
    }

    private static void Wear(List<Block> blocks, RevisionStudy study)
    {
        blocks.Add(new Heading(1, "Wear by pull number"));
        MouldWear[] worn = [.. study.Wear.Where(w => w.AdjustedProbability < 0.05)];
        blocks.Add(new Paragraph(study.WearWords));
        if (worn.Length == 0) return;
        blocks.Add(new Table([new("Mould", 1), new("Station", 1), new("What", 1), new("mm per 100 pulls", 1.2, Align.Right), new("95 % interval", 1.6, Align.Right)],
            [.. worn.Select(w => new Row([w.Mould, w.Station.Name, w.Characteristic.Words, StudyPage.Signed(w.SlopePer100Pulls), $"{StudyPage.Signed(w.Interval95.Low)} to {StudyPage.Signed(w.Interval95.High)}"]))]));
    }

    private static void Builds(List<Block> blocks, RevisionStudy study)
    {
        blocks.Add(new Heading(1, "Builds"));
        blocks.Add(new Facts([($"Revision {study.From}", string.Join(", ", study.FromBuilds)), ($"Revision {study.To}", string.Join(", ", study.ToBuilds)), ("Stage", study.Stage ?? "not named")]));
        if (study.Missing.Count > 0)
        {
            blocks.Add(new Paragraph("Not all of these builds have everything that is compared:"));
            blocks.Add(new Bullets(study.Missing));
        }
        if (study.Excluded.Count == 0) blocks.Add(new Paragraph("No build was left out."));
        else blocks.Add(new Table([new("Left out", 1), new("Reason", 5)], [.. study.Excluded.Select(x => new Row([x.Build, x.Reason]))]));
    }
}
