using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>One judged value: a row of <c>results.csv</c>.</summary>
/// <param name="Measurement">The value with its uncertainty, or the reason why there is none.</param>
/// <param name="Nominal">Nominal value, or null where the plan gives none.</param>
/// <param name="Limits">The band it must lie in, or null where the plan gives none.</param>
/// <param name="Verdict">What can be said of it; null where the plan gives no limits, so that nothing is judged.</param>
/// <param name="Reason">The verdict in words with figures ("0.12 above the upper limit"), or why there is none; null when within.</param>
public sealed record ResultRow(Measurement Measurement, double? Nominal, Limits? Limits, Verdict? Verdict, string? Reason)
{
    /// <summary>Value minus nominal, or null where one of them is missing.</summary>
    public double? Deviation => Measurement.Value - Nominal;

    /// <summary>By how much the value lies beyond the nearer violated limit, 0 inside; null where there is no value or no limit.</summary>
    public double? Excess => Limits is not null && Measurement.Value is double value ? Limits.Excess(value) : null;
}
