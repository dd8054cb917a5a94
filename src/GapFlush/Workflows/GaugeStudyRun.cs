using GapFlush.GaugeStudy;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>What one inspector read at one place.</summary>
/// <param name="Place">Build, door and station.</param>
/// <param name="Inspector">Inspector.</param>
/// <param name="FromPlaceMean">Readings less the mean of all readings at the place.</param>
public sealed record GaugeCell(string Place, string Inspector, IReadOnlyList<double> FromPlaceMean);

/// <summary>The study of one gauge on one characteristic.</summary>
/// <param name="Characteristic">What was read.</param>
/// <param name="Gauge">The gauge, or null where the readings name none.</param>
/// <param name="ToleranceMm">Width of the narrowest limits of the places read, or null where none has two.</param>
/// <param name="ReadingCount">Readings used.</param>
/// <param name="Study">The analysis, or null.</param>
/// <param name="Reason">Why there is none, or null.</param>
/// <param name="Cells">What each inspector read at each place, places in the order met.</param>
public sealed record GaugeLine(Characteristic Characteristic, string? Gauge, double? ToleranceMm, int ReadingCount, CrossedStudy? Study, string? Reason, IReadOnlyList<GaugeCell> Cells)
{
    /// <summary>Standard deviation of the measuring as a whole: repeatability and reproducibility.</summary>
    public double? MeasuringSd => Study is null ? null : Math.Sqrt(Study.Components.Measuring);

    /// <summary>Six standard deviations over the tolerance, per cent.</summary>
    public double? PercentTolerance => Study is not null && ToleranceMm is double t ? GaugeComponents.PercentTolerance(Study.Components.Measuring, t) : null;

    /// <summary>Expanded uncertainty (k = 2) that verdicts could use, from this study alone: it does not know the error of the gauge's certificate.</summary>
    public double? ExpandedUncertainty => 2 * MeasuringSd;

    /// <summary>What the share of the tolerance means: common practice, no source.</summary>
    public string Words => PercentTolerance switch
    {
        null => Study is null ? $"not analysed: {Reason}" : "no two-sided limits to hold it to",
        <= 10 => "good enough",
        <= 30 => "good enough for some uses; look at what drives it",
        _ => "not good enough for these limits",
    };
}

/// <summary>Is the gauge good enough? Repeatability and reproducibility of the measuring itself.</summary>
/// <remarks>A part is one station of one door of one build; an operator is an inspector. Readings are taken as logged: no correction for temperature or paint,
/// which are alike within a study.</remarks>
/// <param name="Lines">One for each characteristic and gauge, in the order of the contract.</param>
public sealed record GaugeStudyRun(IReadOnlyList<GaugeLine> Lines)
{
    /// <summary>Runs the study.</summary>
    public static GaugeStudyRun Run(FitPlan plan, IReadOnlyList<Reading> readings)
    {
        List<GaugeLine> lines = [];
        foreach (Characteristic characteristic in Characteristic.All)
        {
            foreach (IGrouping<string?, Reading> gauge in readings.Where(r => r.Characteristic == characteristic).GroupBy(r => r.Gauge))
            {
                string[] definitions = [.. gauge.Select(r => r.Definition ?? plan.FindDoor(r.Door)?.DefinitionOf(characteristic) ?? "").Distinct()];
                string[] stages = [.. gauge.Select(r => r.Stage ?? "").Distinct()];
                double? tolerance = gauge.Select(r => (r.Door, r.Station, r.Stage)).Distinct()
                    .Select(p => plan.Limits.For(characteristic, p.Door, plan.FindDoor(p.Door)?.Find(p.Station)?.Zone, p.Station, p.Stage)?.Limits.Width).Min();
                string? reason = definitions.Length > 1 ? $"the readings are of {definitions.Length} definitions ({string.Join(", ", definitions)}), which are never compared"
                    : stages.Length > 1 ? $"the readings are of {stages.Length} stages ({string.Join(", ", stages)}), which are never mixed"
                    : gauge.Any(r => r.Inspector is null) ? "some readings do not name the inspector; fill in the inspector column" : null;
                CrossedStudy? study = reason is null ? CrossedStudy.Of([.. gauge.Select(r => ($"{r.Build} {r.Door} {r.Station}", r.Inspector!, r.Value))], out reason) : null;
                GaugeCell[] cells = [.. gauge.GroupBy(r => $"{r.Door} {r.Station}").SelectMany(place =>
                {
                    double mean = place.Average(r => r.Value);
                    return place.GroupBy(r => r.Inspector ?? "not named").Select(i => new GaugeCell(place.Key, i.Key, [.. i.Select(r => r.Value - mean)]));
                })];
                lines.Add(new(characteristic, gauge.Key, tolerance, gauge.Count(), study, reason, cells));
            }
        }
        return new(lines);
    }

    /// <summary>The answer in one sentence.</summary>
    public string Answer => Lines.Count == 0 ? "There are no readings to study." : string.Join(" ", Lines.Select(l => l.Study is null
        ? $"{Name(l)}: not analysed, {l.Reason}."
        : l.PercentTolerance is double p ? Invariant($"{Name(l)}: {l.Words} (measuring takes {p:0} % of the tolerance, sd {l.MeasuringSd:0.000} mm).")
        : Invariant($"{Name(l)}: measuring has an sd of {l.MeasuringSd:0.000} mm; {l.Words}.")));

    /// <summary>The line's name: gauge and characteristic.</summary>
    public static string Name(GaugeLine line) => line.Gauge is null ? line.Characteristic.Words : $"{line.Gauge} on {line.Characteristic.Words}";
}
