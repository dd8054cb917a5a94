using GapFlush.Decisions;
using GapFlush.Hanging;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;

namespace GapFlush.Reports.Inspection;

/// <summary>Position against shape: the rigid displacement of the door, and what would remain without it.</summary>
internal static class HangingPart
{
    public static void Add(List<Block> blocks, DoorResult door)
    {
        blocks.Add(new Heading(2, "How the door hangs"));
        if (door.Displacement.Preferred is not DoorDisplacement best)
        {
            blocks.Add(new Paragraph("Not determined: no gap or flush with a nominal value or a two-sided band was read."));
            return;
        }
        VerdictCounts before = Counts(door.Remaining.Select(r => r.Before.Verdict)), after = Counts(door.Remaining.Select(r => r.Verdict));
        blocks.Add(new Paragraph(Invariant($"Taken as a rigid body, the door sits displaced; that explains {Share(best)} of the scatter of gap and flush about nominal (root mean square {best.RmsBeforeMm:0.00} mm before, {best.RmsAfterMm:0.00} mm after).")
            + Invariant($" With the displacement taken out, {after.Outside} of gap and flush would be outside and {after.Undecided} undecided, against {before.Outside} and {before.Undecided} now.")));
        List<Column> columns = [new("Movement of the door", 3), new("Least squares", 1.6, Align.Right), new("95 % interval", 2.2, Align.Right)];
        bool both = door.Displacement.Differ && door.Displacement.Robust is not null;
        if (both) columns.AddRange([new("Robust", 1.6, Align.Right), new("95 % interval", 2.2, Align.Right)]);
        List<Row> rows = [];
        for (int i = 0; i < 6; i++)
        {
            List<Cell> cells = [best.Movements[i].Words + (best.Movements[i].IsTurn ? ", mrad" : ", mm"), .. Cells(door.Displacement.LeastSquares!.Movements[i])];
            if (both) cells.AddRange(Cells(door.Displacement.Robust!.Movements[i]));
            rows.Add(new Row(cells));
        }
        blocks.Add(new Table(columns, rows, "The door is moved by this much from nominal, about the middle of its outline, in the plan's axes. The opposite is the adjustment to make."));
        if (both)
        {
            blocks.Add(new Paragraph("Least squares and the robust fit tell different things: a few readings pull the first. The robust fit sets aside "
                + (door.Displacement.SetAside.Count == 0 ? "none entirely." : string.Join(", ", door.Displacement.SetAside.Select(r => $"{r.Deviation.Station} {r.Deviation.Characteristic.Words}")) + ".")));
        }
        if (best.UndeterminedWords is string open) blocks.Add(new Paragraph(open, ParagraphRole.Body, Mark.Doubt));
        if (best.ShapeMm is double shape)
        {
            blocks.Add(new Paragraph(best.ShapeIsProven == true
                ? Invariant($"What remains is more than measuring leaves: about {shape:0.00} mm root mean square is shape, which no hinge or latch move cures.")
                : "What remains is no more than measuring leaves: the data show no error of shape."));
        }
        RemainingRow[] still = [.. door.Remaining.Where(r => r.Verdict is Verdict.Outside)];
        if (still.Length == 0) return;
        blocks.Add(new Table([new("Station", 1), new("What", 1), new("Now", 1, Align.Right), new("Without the displacement", 1.6, Align.Right), new("Then", 4)],
            [.. still.Select(r => new Row([r.Station, r.Characteristic.Words, Words.Value(r.Before.Measurement.Value, r.Characteristic), Words.Value(r.ValueMm, r.Characteristic), new Cell($"outside: {r.Reason}", RibbonLayer.MarkFor(r.Verdict))]))],
            "What would stay outside in any position of the door: matter for the edge or the mould, not for the hinges."));
    }

    private static string Share(DoorDisplacement fit)
    {
        double before = fit.RmsBeforeMm * fit.RmsBeforeMm;
        return before > 0 ? Invariant($"{Math.Max(0, 100 * (1 - fit.RmsAfterMm * fit.RmsAfterMm / before)):0} %") : "none";
    }

    private static VerdictCounts Counts(IEnumerable<Verdict?> verdicts)
    {
        Verdict[] all = [.. verdicts.OfType<Verdict>()];
        return new(all.Count(v => v == Verdict.Within), all.Count(v => v == Verdict.Undecided), all.Count(v => v == Verdict.Outside), all.Count(v => v == Verdict.Missing));
    }

    private static Cell[] Cells(Movement movement)
    {
        double scale = movement.IsTurn ? 1000 : 1;
        string value = movement.Value is double v ? Invariant($"{v * scale:+0.00;-0.00;0.00}") : "not determined";
        string interval = movement is { Lower95: double low, Upper95: double high } ? Invariant($"{low * scale:+0.00;-0.00;0.00} to {high * scale:+0.00;-0.00;0.00}") : "";
        return [value, interval];
    }
}
