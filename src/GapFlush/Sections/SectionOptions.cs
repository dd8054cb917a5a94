using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>How sections are taken.</summary>
public sealed record SectionOptions
{
    /// <summary>Half the run of the seam that bears on a station, mm.</summary>
    public double HalfRunMm { get; init; } = 15;

    /// <summary>How far an edge may lie from its nominal place, mm.</summary>
    public double SearchMm { get; init; } = 3;

    /// <summary>Largest standard uncertainty of a gap that is still stated, mm. Common practice, no source: beyond, a rule would do better.</summary>
    public double LargestGapUncertaintyMm { get; init; } = 0.3;

    /// <summary>Largest standard uncertainty of a flush that is still stated, mm.</summary>
    public double LargestFlushUncertaintyMm { get; init; } = 0.15;

    /// <summary>Most points kept for a station; beyond, every other is let go.</summary>
    public int PointsPerStation { get; init; } = 40_000;

    /// <summary>Standard uncertainty of the scanner that no fit can see, mm, with its name; null for none.</summary>
    public (string Name, double StandardUncertaintyMm)? Scanner { get; init; }

    /// <summary>What to tell where a plan's gauges name no scanner.</summary>
    public const string UnknownScanner = "gauges.csv names no scanner with an uncertainty: the scanner's own scale and accuracy are not known and not in the uncertainty stated. "
        + "To have them counted add a row of kind scanner with the expanded uncertainty of its certificate, mm, as in SC-01,scanner,0.01,0.05,2,2027-12-31 (gauge,kind,resolution,uncertainty,coverage_factor,calibration_due).";

    /// <summary>Is told how far the work has come: what is being done, how much of it is done, and of how much; null for nobody. Called from several threads.</summary>
    public Action<string, long, long>? Progress { get; init; }

    /// <summary>The portable arm or tracker that a plan's gauges name: the first whose kind has one of these words.</summary>
    public static (string Name, double StandardUncertaintyMm)? ProbeOf(FitPlan plan)
    {
        string[] words = ["arm", "tracker", "probe", "probing"];
        Gauge? gauge = plan.Gauges.FirstOrDefault(g => g.UncertaintyMm is not null && g.Kind.Split([' ', '-', ',']).Any(w => words.Contains(w, StringComparer.OrdinalIgnoreCase)));
        return gauge is null ? null : (gauge.Name, gauge.UncertaintyMm!.Value / gauge.CoverageFactor);
    }

    /// <summary>The scanner that a plan's gauges name: the first whose kind speaks of a scan, else of a laser.</summary>
    public static (string Name, double StandardUncertaintyMm)? ScannerOf(FitPlan plan)
    {
        Gauge? gauge = plan.Gauges.FirstOrDefault(g => g.UncertaintyMm is not null && g.Kind.Contains("scan", StringComparison.OrdinalIgnoreCase))
            ?? plan.Gauges.FirstOrDefault(g => g.UncertaintyMm is not null && g.Kind.Contains("laser", StringComparison.OrdinalIgnoreCase));
        return gauge is null ? null : (gauge.Name, gauge.UncertaintyMm!.Value / gauge.CoverageFactor);
    }
}
