using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>gauge-zero and paint-state by their values: one constant on all flushes of a gauge, one constant on all gaps of a door.</summary>
/// <remarks>METHOD.md, eq. 9 and 10. The constants come from <see cref="SeamFit"/>. Doors of other builds, where there are enough, tell what a door's constant usually is.</remarks>
internal sealed class ConstantCheck
{
    /// <summary>Standard deviation that the shape of good doors gives a constant beyond the noise of the readings, mm, where other builds do not tell it.</summary>
    internal const double ShapeMm = 0.03;

    /// <summary>So many doors of other builds tell what is usual.</summary>
    internal const int LeastHistory = 5;

    /// <summary>Least flush constant worth a question, mm: five times the usual resolution and above the certificate of a step gauge (U 0.05 to 0.1 mm).</summary>
    internal const double LeastZeroMm = 0.12;

    /// <summary>How many standard errors the constant of a gauge must reach.</summary>
    internal const double ZeroErrors = 4;

    /// <summary>How many standard errors the constant of the gaps must reach, and which share of the paint allowance.</summary>
    internal const double PaintErrors = 3, PaintShare = 0.6;

    /// <summary>Standard error above which a door has no say about a gauge's zero, mm.</summary>
    internal const double MostErrorMm = 0.15;

    private readonly CaseFile _file;
    private readonly List<(DoorSheet Sheet, SeamFit Fit)> _fits;
    private readonly Lazy<List<(DoorSheet Sheet, SeamFit Fit)>> _earlier;

    public ConstantCheck(CaseFile file)
    {
        _file = file;
        _fits = Fits(file.Sheets.Where(s => !s.IsDisowned));
        _earlier = new(() => Fits(file.OtherSheets));
    }

    private static List<(DoorSheet, SeamFit)> Fits(IEnumerable<DoorSheet> sheets) =>
        [.. sheets.Select(s => (Sheet: s, Fit: s.Fit(constants: true))).Where(s => s.Fit is not null).Select(s => (s.Sheet, s.Fit!))];

    public IEnumerable<Doubt> GaugeZero()
    {
        var all = _fits.SelectMany(f => f.Fit.FlushConstants.Select(c => (f.Sheet, c.Gauge, c.Value, c.Error))).GroupBy(c => c.Gauge);
        foreach (var of in all)
        {
            List<(DoorSheet Sheet, double Off, double Error)> doors = [];
            foreach ((DoorSheet sheet, _, double value, double error) in of)
            {
                (double usual, double total) = Usual(sheet, error, f => f.FlushConstants.Select(c => c.Value));
                doors.Add((sheet, value - usual, total));
            }
            // A door too flat for its shape to tell a constant from a displacement has no say.
            doors.RemoveAll(d => d.Error > MostErrorMm);
            if (doors.Count == 0) continue;
            double weight = doors.Sum(d => 1 / (d.Error * d.Error)), common = doors.Sum(d => d.Off / (d.Error * d.Error)) / weight, itsError = 1 / Math.Sqrt(weight);
            // One door alone may be off by its shape or its mould; a gauge is off on every door it read.
            if (Math.Abs(common) < Math.Max(LeastZeroMm, ZeroErrors * itsError)) continue;
            if (doors.Count == 1 && !_earlier.Value.Any(e => e.Sheet.Door == doors[0].Sheet.Door)) continue;
            if (doors.Any(d => Math.Abs(d.Off - common) > 4 * d.Error || Math.Sign(d.Off) != Math.Sign(common))) continue;
            SheetPoint[] points = [.. doors.SelectMany(d => d.Sheet.All(Characteristic.Flush)).Where(p => (p.Reading.Gauge ?? "") == of.Key)];
            string gauge = of.Key.Length > 0 ? $"of gauge {of.Key}" : "without a gauge name";
            string each = Words.List([.. doors.Select(d => $"{d.Sheet.Door.Code} {Words.Signed(d.Off)}")]);
            yield return new(DoubtKinds.GaugeZero, doors.Count == 1 ? doors[0].Sheet.Door.Code : null, [],
                Invariant($"All {points.Length} flush readings {gauge} share a constant of {Words.Signed(common)} ± {2 * itsError:0.00} mm ({each}) that no displacement of the doors explains{(_earlier.Value.Count > 0 ? " and other builds do not show" : "")}. On a nearly flat door a constant looks like the door standing in or out; it is the agreement of {(doors.Count > 1 ? "the doors" : "the builds")} that speaks for the gauge."),
                "Check the gauge's zero on a flat plate; if it was off, read the flush again.", points[0].Reading.Source, points[0].Reading.Line);
        }
    }

    public IEnumerable<Doubt> PaintState()
    {
        List<(DoorSheet Sheet, string Gauge, double Off, double Error, double Certificate)> doors = [];
        foreach ((DoorSheet sheet, SeamFit fit) in _fits)
        {
            SheetPoint[] gaps = [.. sheet.Sound(Characteristic.Gap)];
            if (gaps.Length == 0) continue;
            (double usual, double total) = Usual(sheet, fit.GapConstant.Error, f => [f.GapConstant.Value]);
            doors.Add((sheet, gaps[0].Reading.Gauge ?? "", fit.GapConstant.Value - usual, total, gaps.Average(p => p.StandardUncertainty ?? 0)));
        }
        foreach ((DoorSheet sheet, string gauge, double off, double error, double certificate) in doors)
        {
            if (sheet.Stage is null || _file.Plan.FindStage(sheet.Stage)?.Paint is not string paint) continue;
            double[] others = [.. doors.Where(d => d.Sheet.Door != sheet.Door && d.Sheet.Stage == sheet.Stage && d.Gauge == gauge).Select(d => d.Off)];
            foreach (Stage stage in _file.Plan.Stages.Where(s => s.Paint is not null && s.Paint != paint).DistinctBy(s => s.Paint))
            {
                if (Between(paint, stage.Paint!) is not double step || step == 0 || certificate > Math.Abs(step) / 2) continue;
                // The sheet's nominals are for its stage; read in the other state every gap would be off by the paint on both edges.
                double least = Math.Max(PaintShare * Math.Abs(step), PaintErrors * error), near = Math.Max((1 - PaintShare) * Math.Abs(step), PaintErrors * error);
                if (Math.Abs(off) < least || Math.Abs(off - step) > near) continue;
                // What all doors share may be the gauge; a door that differs from the others read with it is not.
                bool differs = others.Length > 0 && (off - others.Average()) / step > 0.5;
                if (!differs && Math.Abs(off) < PaintErrors * Math.Sqrt(error * error + certificate * certificate)) continue;
                Reading first = sheet.Sound(Characteristic.Gap)[0].Reading;
                yield return new(DoubtKinds.PaintState, sheet.Door.Code, [],
                    Invariant($"The gaps of {sheet.Door.Code}, marked {sheet.Stage} ({paint}), are all alike {Words.Signed(off)} ± {2 * error:0.00} mm off, after the displacement of the door; read {stage.Paint} they would be {Words.Signed(step)} off by the plan's paint allowance."),
                    $"Ask whether the door was {paint} or {stage.Paint} when it was read; if the stage is right, the door or its opening is of another size.", first.Source, first.Line);
                break;
            }
        }
    }

    /// <summary>How the gap changes when a door is read in another paint state than its nominals are for: the paint allowance, mm.</summary>
    private double? Between(string from, string to)
    {
        PaintAllowance? there = _file.Plan.Paint.FirstOrDefault(p => p.From == from && p.To == to), back = _file.Plan.Paint.FirstOrDefault(p => p.From == to && p.To == from);
        return there is not null ? -2 * there.EdgeBuildMm : 2 * back?.EdgeBuildMm;
    }

    /// <summary>What a constant usually is and how far it may be from it: median and robust spread over the same door of other builds at the same stage, which hold the noise of the
    /// readings too; zero, the error of the fit and the shape of good doors where there are too few.</summary>
    private (double Usual, double Error) Usual(DoorSheet sheet, double error, Func<SeamFit, IEnumerable<double>> constant)
    {
        double[] sorted = [.. _earlier.Value.Where(e => e.Sheet.Door == sheet.Door && e.Sheet.Stage == sheet.Stage).SelectMany(e => constant(e.Fit)).Order()];
        if (sorted.Length < LeastHistory) return (0, Math.Sqrt(error * error + ShapeMm * ShapeMm));
        double median = sorted[sorted.Length / 2];
        return (median, Math.Max(error, sorted.Select(v => Math.Abs(v - median)).Order().ElementAt(sorted.Length / 2) / 0.6745));
    }
}
