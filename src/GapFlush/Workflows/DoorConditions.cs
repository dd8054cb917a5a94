using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Under what conditions the readings of a door were taken; what every record must carry.</summary>
/// <param name="From">First reading, or null where no time was written.</param>
/// <param name="To">Last reading, or null.</param>
/// <param name="Inspectors">Who read, in the order met.</param>
/// <param name="Gauges">Gauges used, in the order met; those the plan does not list are given by name alone.</param>
/// <param name="LowestC">Lowest temperature written, °C, or null.</param>
/// <param name="HighestC">Highest temperature written, °C, or null.</param>
/// <param name="Notes">Notes written with readings, with their station.</param>
public sealed record DoorConditions(DateTimeOffset? From, DateTimeOffset? To, IReadOnlyList<string> Inspectors, IReadOnlyList<(string Name, Gauge? Entry)> Gauges,
    double? LowestC, double? HighestC, IReadOnlyList<(string Station, string Note)> Notes)
{
    /// <summary>Gathers the conditions of some readings.</summary>
    public static DoorConditions Of(FitPlan plan, IReadOnlyList<Reading> readings) => new(
        readings.Min(r => r.TakenAt),
        readings.Max(r => r.TakenAt),
        [.. readings.Select(r => r.Inspector).OfType<string>().Distinct()],
        [.. readings.Select(r => r.Gauge).OfType<string>().Distinct().Select(g => (g, plan.FindGauge(g)))],
        readings.Min(r => r.TemperatureC),
        readings.Max(r => r.TemperatureC),
        [.. readings.Where(r => r.Note is not null).Select(r => (r.Station, r.Note!)).Distinct()]);

    /// <summary>The time span in words.</summary>
    public string TimeWords => From is not DateTimeOffset from || To is not DateTimeOffset to ? "not written"
        : from.Date == to.Date ? Invariant($"{from:yyyy-MM-dd HH:mm} to {to:HH:mm}") : Invariant($"{from:yyyy-MM-dd HH:mm} to {to:yyyy-MM-dd HH:mm}");

    /// <summary>The temperature in words.</summary>
    public string TemperatureWords => LowestC is not double low || HighestC is not double high ? "not written"
        : high - low < 0.05 ? Invariant($"{low:0.0} °C") : Invariant($"{low:0.0} to {high:0.0} °C");

    /// <summary>The gauges in words, with the day their calibration is good until.</summary>
    public IReadOnlyList<string> GaugeWords => [.. Gauges.Select(g => g.Entry is null ? $"{g.Name} (not in gauges.csv)"
        : $"{g.Name} ({g.Entry.Kind}{(g.Entry.CalibrationDue is DateOnly due ? Invariant($", calibration due {due:yyyy-MM-dd}") : "")})")];
}
