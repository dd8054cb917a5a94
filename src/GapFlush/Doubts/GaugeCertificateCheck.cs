using GapFlush.Measurements;

namespace GapFlush.Doubts;

/// <summary>gauge-overdue and gauge-coarse: may the gauge speak to these limits on that day?</summary>
internal static class GaugeCertificateCheck
{
    /// <summary>Share of the tolerance width that the expanded uncertainty may take: a quarter, common practice, no source.</summary>
    internal const double MostUncertaintyShare = 0.25;

    /// <summary>Share of the tolerance width that one step of the gauge may take: the rule of ten, common practice, no source.</summary>
    internal const double MostStepShare = 0.1;

    public static IEnumerable<Doubt> Find(CaseFile file) => [.. Overdue(file), .. Coarse(file)];

    private static IEnumerable<Doubt> Overdue(CaseFile file)
    {
        foreach (var rows in file.Readings.Where(r => r.Gauge is not null && r.TakenAt is not null).GroupBy(r => r.Gauge!))
        {
            if (file.Plan.FindGauge(rows.Key)?.CalibrationDue is not DateOnly due) continue;
            Reading[] late = [.. rows.Where(r => DateOnly.FromDateTime(r.TakenAt!.Value.DateTime) > due)];
            if (late.Length == 0) continue;
            string[] doors = [.. late.Select(r => r.Door).Distinct()];
            yield return new(DoubtKinds.GaugeOverdue, doors.Length == 1 ? doors[0] : null, [],
                Invariant($"Gauge {rows.Key} was used on {late.Max(r => r.TakenAt)!.Value:yyyy-MM-dd} for {Words.Count(late.Length, "reading")} of {Words.List(doors)}; its calibration was good until {due:yyyy-MM-dd}."),
                "Have the gauge checked before these readings are relied on, or read again with one that is in date; if it was calibrated since, bring gauges.csv up to date.", late[0].Source, late[0].Line);
        }
    }

    private static IEnumerable<Doubt> Coarse(CaseFile file)
    {
        foreach (var rows in file.Sheets.SelectMany(s => s.Everything.Select(p => (Sheet: s, Point: p))).GroupBy(p => (Gauge: p.Point.Reading.Gauge ?? "", p.Point.Characteristic)))
        {
            var worst = rows.Where(r => r.Point.Width is not null && r.Point.StandardUncertainty is not null).Select(r => (r.Sheet, r.Point, Share: 2 * r.Point.StandardUncertainty!.Value / r.Point.Width!.Value))
                .OrderByDescending(r => r.Share).FirstOrDefault();
            string[] doors = [.. rows.Select(r => r.Sheet.Door.Code).Distinct()];
            string who = rows.Key.Gauge.Length > 0 ? $"Gauge {rows.Key.Gauge}" : "The gauge";
            string what = rows.Key.Characteristic.Words;
            (string Seen, Reading At)? doubt = null;
            if (worst.Share > MostUncertaintyShare)
            {
                doubt = (Invariant($"{who} has an expanded uncertainty (k = 2, resolution included) of {2 * worst.Point.StandardUncertainty:0.00} mm; the narrowest {what} tolerance it was used on, at {worst.Sheet.Door.Code} station {worst.Point.Station.Name}, is {worst.Point.Width:0.00} mm wide: {100 * worst.Share:0} % of it, and more than a quarter."), worst.Point.Reading);
            }
            else if (rows.Where(r => r.Point.Width is not null).OrderBy(r => r.Point.Width).FirstOrDefault() is { Point: not null } narrow)
            {
                double step = Math.Max(file.Plan.FindGauge(rows.Key.Gauge)?.ResolutionMm ?? 0, StepWritten([.. rows.Select(r => r.Point.Reading)]));
                if (step > MostStepShare * narrow.Point.Width!.Value * (1 + 1e-9))
                    doubt = (Invariant($"The {what} readings {(rows.Key.Gauge.Length > 0 ? $"of gauge {rows.Key.Gauge} " : "")}go in steps of {step:0.0##} mm; the narrowest tolerance, at {narrow.Sheet.Door.Code} station {narrow.Point.Station.Name}, is {narrow.Point.Width:0.00} mm wide, and a step should be at most a tenth of it."), narrow.Point.Reading);
            }
            if (doubt is { } d)
                yield return new(DoubtKinds.GaugeCoarse, doors.Length == 1 ? doors[0] : null, [], d.Seen, "Read again with a finer gauge, or take the verdicts near a limit as open.", d.At.Source, d.At.Line);
        }
    }

    /// <summary>The step in which values were written, mm: the largest of 1, 0.5, 0.2 and 0.1 that all of at least twelve values are multiples of; else 0. Only mm are looked at.</summary>
    /// <remarks>Values to 0.05 mm all fall on a 0.1 mm step by chance once in 2^12 at most.</remarks>
    private static double StepWritten(Reading[] readings)
    {
        if (readings.Length < 12 || readings.Any(r => r.WrittenUnit != "mm")) return 0;
        foreach (double step in (double[])[1, 0.5, 0.2, 0.1])
        {
            if (readings.All(r => Math.Abs(r.Value / step - Math.Round(r.Value / step)) < 1e-6)) return step;
        }
        return 0;
    }
}
