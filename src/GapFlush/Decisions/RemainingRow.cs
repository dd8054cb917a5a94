using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>What would remain of a gap or flush if the rigid displacement of the door were taken out.</summary>
/// <param name="Before">The row as it is.</param>
/// <param name="ExplainedMm">What the displacement accounts for, mm.</param>
/// <param name="ValueMm">The value that would remain, mm.</param>
/// <param name="Verdict">Its verdict; null where nothing is limited.</param>
/// <param name="Reason">The verdict in words; null when within.</param>
public sealed record RemainingRow(ResultRow Before, double ExplainedMm, double ValueMm, Verdict? Verdict, string? Reason)
{
    /// <summary>The station.</summary>
    public string Station => Before.Measurement.Station!;

    /// <summary>Gap or flush.</summary>
    public Characteristic Characteristic => Before.Measurement.Characteristic;

    /// <summary>What would remain of the deviation from nominal, mm, or null where the plan gives no nominal.</summary>
    public double? DeviationMm => ValueMm - Before.Nominal;
}
