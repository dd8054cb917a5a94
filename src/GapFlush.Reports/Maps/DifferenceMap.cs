using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Revisions;
using GapFlush.Workflows;

namespace GapFlush.Reports.Maps;

/// <summary>What a mould revision changed, round the outline of a door: the ribbons of the outline map, with the difference for the value and its 95 % interval for the whisker.</summary>
/// <remarks>The middle line is no difference; both edges are one round figure that holds the largest difference. The mark tells what is proven, never the colour alone.</remarks>
public static class DifferenceMap
{
    /// <summary>Lays the map out on an A4 sheet, landscape.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="study">The study.</param>
    /// <param name="changes">The changes to draw: as hung, or as shape.</param>
    public static Sheet Layout(FitPlan plan, RevisionStudy study, IReadOnlyList<StationChange> changes)
    {
        Door door = study.Door;
        double largest = changes.Count == 0 ? 0 : changes.Max(c => Math.Abs(c.DifferenceMm)), edge = Math.Ceiling(Math.Max(study.MattersMm, largest) * 10 - 1e-9) / 10;
        OutlineView view = new(plan, door);
        (double scale, double band, double width, SeamOnPage seam) = DoorMap.Fitted(view, door, showsSeal: false, lane: 0);
        Ribbon gap = new(seam, Characteristic.Gap, Rows(study, changes, Characteristic.Gap, edge), band, band + width);
        Ribbon flush = new(seam, Characteristic.Flush, Rows(study, changes, Characteristic.Flush, edge), -band - width, -band);
        LabelPlacer placer = new(DoorMap.SheetWidth, DoorMap.SheetHeight);
        placer.Take(0, 0, DoorMap.SheetWidth, DoorMap.Margin);
        placer.Take(0, DoorMap.SheetHeight - DoorMap.Margin, DoorMap.SheetWidth, DoorMap.Margin);
        placer.Take(0, 0, DoorMap.Margin, DoorMap.SheetHeight);
        placer.Take(DoorMap.BlockLeft - 2, 0, DoorMap.SheetWidth, DoorMap.SheetHeight);
        placer.TakeBand(flush.Innermost, gap.Outermost);
        IReadOnlyList<Shape> guides = DoorMap.Guides(view, scale, placer);
        (IReadOnlyList<Shape> numbers, IReadOnlyList<Shape> zones) = DoorMap.SeamLettering(seam, door, band);
        string[] names = StationNames.Short(door);
        MapLabel[] labels = [.. changes.Where(c => c.Verdict == ChangeVerdict.Changed).OrderByDescending(c => Math.Abs(c.DifferenceMm)).Select(c => new MapLabel(
            [Invariant($"{names[c.Station.Index]} {c.Characteristic.Words} {c.DifferenceMm:+0.00;-0.00}"), Invariant($"{c.Interval95.Low:+0.00;-0.00} to {c.Interval95.High:+0.00;-0.00}")],
            RibbonLayer.MarkPlace(c.Characteristic == Characteristic.Gap ? gap : flush, c.Station.Index)))];
        IReadOnlyList<MapLabel> further = placer.Place(labels, new(DoorMap.BlockLeft / 2, DoorMap.SheetHeight / 2));
        bool isShape = changes.Any(c => c.IsShape);
        string title = $"{study.Door.Code}: {(study.IsDoorMould ? "door" : "surround")} mould {study.To} less {study.From}, {(isShape ? "shape with hanging taken out" : "as hung")}";
        List<Shape> shapes =
        [
            RibbonLayer.Draw(gap, door.Stations.Count, "ribbon-gap"),
            RibbonLayer.Draw(flush, door.Stations.Count, "ribbon-flush"),
            new Group("seam", "seam with stations", [.. DoorMap.Ticks(seam, door), new Trail(seam.Curve, DoorMap.SeamLine, Closed: true), .. numbers, .. zones]),
            new Group("guides", "directions and scale", guides),
            new Group("labels", "proven changes", [.. placer.Placed.SelectMany(p => DoorMap.Draw(p, false))]),
            Block(study, changes, isShape, edge, further.Count),
        ];
        return new(DoorMap.SheetWidth, DoorMap.SheetHeight, title, $"Difference of gap and flush round door {study.Door.Code}, later less earlier revision, with 95 % intervals, seen from outside.", shapes);
    }

    private static ResultRow?[] Rows(RevisionStudy study, IReadOnlyList<StationChange> changes, Characteristic characteristic, double edge)
    {
        Dictionary<string, StationChange> of = changes.Where(c => c.Characteristic == characteristic).ToDictionary(c => c.Station.Name);
        return [.. study.Door.Stations.Select(s => of.TryGetValue(s.Name, out StationChange? c) ? new ResultRow(
            new Measurement { Build = study.To, Door = study.Door.Code, Zone = s.Zone, Station = s.Name, Characteristic = characteristic, Value = c.DifferenceMm, StandardUncertainty = (c.Interval95.High - c.Interval95.Low) / 4, Origin = MeasurementOrigin.Derived },
            0, new Limits(-edge, edge), c.Verdict switch { ChangeVerdict.Changed => Verdict.Outside, ChangeVerdict.Alike => Verdict.Within, _ => Verdict.Undecided }, null) : null)];
    }

    private static Group Block(RevisionStudy study, IReadOnlyList<StationChange> changes, bool isShape, double edge, int further)
    {
        const double left = DoorMap.BlockLeft, top = DoorMap.Margin, width = DoorMap.SheetWidth - DoorMap.Margin - DoorMap.BlockLeft, height = DoorMap.SheetHeight - 2 * DoorMap.Margin, pitch = 4.05;
        List<Shape> shapes = [Trail.Box(left, top, width, height, new Stroke(Palette.Black, 0.35))];
        double y = top + 2;
        Text($"Door {study.Door.Code}, {study.Door.Title}", 3.3, Weight.Semibold);
        Text($"{(study.IsDoorMould ? "Door" : "Surround")} mould {study.To} less {study.From}", Lettering.LeastMm, Weight.Semibold);
        Text(isShape ? "Shape: each build's own movement of the whole door is taken out, so that scatter of hanging hides nothing." : "As hung: what an inspector would see.", Lettering.LeastMm);
        Rule();
        Text(Invariant($"Proven at {changes.Count(c => c.Verdict == ChangeVerdict.Changed)} of {changes.Count} places"), Lettering.LeastMm, Weight.Semibold);
        Text(Invariant($"{study.FromBuilds.Count} builds of {study.From} against {study.ToBuilds.Count} of {study.To}{(study.Stage is string s ? $", stage {s}" : "")}"), Lettering.LeastMm);
        Rule();
        Legend(Mark.Outside, "a change is proven, false discoveries over the door held to 5 %");
        Legend(Mark.Undecided, "neither a change nor its absence is proven");
        Legend(Mark.Within, Invariant($"proven to have changed by less than {study.MattersMm:0.00} mm"));
        Rule();
        Text(Invariant($"Outer ribbon: gap; inner ribbon: flush. Edges: {edge:0.0} mm either way; broken line: no difference. Outward: gap wider, door prouder than before. Whisker: 95 % interval of the difference."), Lettering.LeastMm);
        if (further > 0)
        {
            Rule();
            Text(Invariant($"{further} more proven changes found no room here: see the table for the toolmaker."), Lettering.LeastMm);
        }
        IReadOnlyList<string> caution = TextMeasure.Wrap(TitleBlock.Caution, width - 5, Lettering.LeastMm);
        y = top + height - 2 - caution.Count * pitch;
        shapes.Add(Trail.Line(left, y - 1.2, left + width, y - 1.2, new Stroke(Palette.Black, 0.35)));
        Text(TitleBlock.Caution, Lettering.LeastMm);
        return new("title-block", "title block", shapes);

        void Text(string text, double capital, Weight weight = Weight.Regular, double indent = 0)
        {
            foreach (string line in TextMeasure.Wrap(text, width - 5 - indent, capital, weight))
            {
                y += capital * pitch / Lettering.LeastMm;
                shapes.Add(new Lettering(new(left + 2.5 + indent, y), line, capital, weight));
            }
        }

        void Legend(Mark mark, string words)
        {
            shapes.AddRange(MarkShapes.At(mark, new(left + 4, y + pitch - Lettering.LeastMm / 2), 2.6));
            Text(words, Lettering.LeastMm, indent: 4.5);
        }

        void Rule()
        {
            y += 1.5;
            shapes.Add(Trail.Line(left, y, left + width, y, new Stroke(Palette.Light, 0.2)));
            y += 0.3;
        }
    }
}
