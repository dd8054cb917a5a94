using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>The block at the right of a map that says what it shows, under which rules, and what to be careful of.</summary>
public static class TitleBlock
{
    private const double Capital = Lettering.LeastMm, Pitch = 4.05;

    /// <summary>The caution on every map, report and command.</summary>
    public const string Caution = "A measuring aid. Door security, water ingress and airworthiness are judged on approved data by licensed staff.";

    internal static Group Draw(DoorMapContent content, Place corner, double width, double height, IReadOnlyList<string> further)
    {
        List<Shape> shapes = [Trail.Box(corner.X, corner.Y, width, height, new Stroke(Palette.Black, 0.35))];
        double x = corner.X + 2.5, inner = width - 5, y = corner.Y + 2, foot = corner.Y + height - 2;
        Door door = content.Door;
        Text($"{content.Plan.AircraftType} build {content.Build}", 3.3, Weight.Semibold);
        Text($"Door {door.Code}, {door.Title}{HandWords(door)}", Capital, Weight.Semibold);
        Rule();
        Text(Counts(content.Rows), Capital, Weight.Semibold);
        if (content.Doubts > 0) Text(content.Doubts == 1 ? "1 doubt about the data: see the report" : $"{content.Doubts} doubts about the data: see the report", Capital, Weight.Semibold);
        Rule();
        Legend();
        Rule();
        Text($"Stage: {StageWords(content)}", Capital);
        Text($"Plan: {content.Plan.Name}{(content.Plan.Issue is null ? "" : $", issue {content.Plan.Issue}")}", Capital);
        foreach ((string label, string value) in content.Facts) Text($"{label}: {value}", Capital);
        Rule();
        Text($"Outer ribbon: gap, {Definition(door.GapDefinition)}", Capital);
        bool showsSeal = content.Rows.Any(r => r.Measurement.Characteristic == Characteristic.Compression);
        Text($"{(showsSeal ? "Next" : "Inner")} ribbon: flush, {Definition(door.FlushDefinition)}", Capital);
        if (showsSeal) Text($"Innermost: seal compression{(content.Rows.Any(r => r.Measurement.Characteristic == Characteristic.Compression && r.Measurement.Origin == MeasurementOrigin.Predicted) ? ", some predicted" : "")}", Capital);
        Text($"Ribbon edges are the limits, the broken line is nominal; outward is a wider gap{(showsSeal ? ", a proud door, a seal pressed more" : " or a proud door")}. Whisker: U, k = 2.", Capital);
        if (content.Channels.Count > 0) Text("Line inside the ribbons: drain channels; arrows: way of the water; circles: outlets; heavy: water that stands; ring with a bar: too little seal beside it.", Capital);
        Text(content.Plan.DecisionRule == DecisionRule.ProveConformity ? "Rule: ISO 14253-1, limits moved in by U" : "Rule: simple acceptance, limits as they stand", Capital);
        IReadOnlyList<string> caution = TextMeasure.Wrap(Caution, inner, Capital);
        double cautionTop = foot - caution.Count * Pitch;
        if (further.Count > 0)
        {
            Rule();
            Text("Further stations, no room on the map:", Capital, Weight.Semibold);
            int shown = 0;
            foreach (string line in further)
            {
                int needed = TextMeasure.Wrap(line, inner, Capital).Count;
                if (y + (needed + 1) * Pitch > cautionTop - 2) break;
                Text(line, Capital);
                shown++;
            }
            if (shown < further.Count) Text($"and {further.Count - shown} more: see the results table", Capital);
        }
        shapes.Add(Trail.Line(corner.X, cautionTop - 1.2, corner.X + width, cautionTop - 1.2, new Stroke(Palette.Black, 0.35)));
        y = cautionTop - 0.6;
        foreach (string line in caution)
        {
            y += Pitch;
            shapes.Add(new Lettering(new(x, y), line, Capital));
        }
        return new Group("title-block", "title block", shapes);

        void Text(string text, double capital, Weight weight = Weight.Regular)
        {
            foreach (string line in TextMeasure.Wrap(text, inner, capital, weight))
            {
                y += capital * Pitch / Capital;
                shapes.Add(new Lettering(new(x, y), line, capital, weight));
            }
        }

        void Rule()
        {
            y += 1.5;
            shapes.Add(Trail.Line(corner.X, y, corner.X + width, y, new Stroke(Palette.Light, 0.2)));
            y += 0.3;
        }

        void Legend()
        {
            double at = x;
            y += Pitch;
            foreach (Mark mark in (Mark[])[Mark.Within, Mark.Undecided, Mark.Outside, Mark.Missing])
            {
                string word = MarkShapes.Word(mark);
                double w = TextMeasure.WidthMm(word, Capital) + 7;
                if (at + w > x + inner + 2)
                {
                    at = x;
                    y += Pitch;
                }
                shapes.AddRange(MarkShapes.At(mark, new(at + 1.5, y - Capital / 2), 2.6));
                shapes.Add(new Lettering(new(at + 4, y), word, Capital));
                at += w;
            }
        }
    }

    private static string HandWords(Door door) => door.Hand switch { Hand.Left => ", left hand", Hand.Right => ", right hand", _ => "" };

    private static string Counts(IReadOnlyList<ResultRow> rows)
    {
        VerdictCounts counts = VerdictCounts.Of(rows);
        return counts.Words[..1].ToUpperInvariant() + counts.Words[1..];
    }

    private static string StageWords(DoorMapContent content)
    {
        if (content.Stage is not string name) return "not named";
        if (content.Plan.FindStage(name) is not Stage stage) return name;
        List<string> words = [];
        if (stage.Paint is string paint) words.Add(paint);
        if (stage.Seal is string seal) words.Add($"seal {seal}");
        if (stage.Latch is string latch) words.Add(latch);
        if (stage.Support is string support) words.Add(support);
        return words.Count == 0 ? name : $"{name} ({string.Join(", ", words)})";
    }

    private static string Definition(GapDefinition definition) => definition.Code + (definition.DepthMm is double depth ? Invariant($" at {depth:0.##} mm depth") : "");

    private static string Definition(FlushDefinition definition) => definition.Kind switch
    {
        FlushKind.TwoFoot => Invariant($"{definition.Code}, feet at {definition.NearFootMm:0.##} and {definition.FarFootMm:0.##}, plunger at {definition.SetBackMm:0.##} mm"),
        FlushKind.CurveCarried => Invariant($"{definition.Code}, set-back {definition.SetBackMm:0.##} mm"),
        _ => definition.Code,
    };
}
