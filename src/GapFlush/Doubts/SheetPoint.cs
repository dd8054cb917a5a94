using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>One reading with what the plan says about its place.</summary>
/// <param name="Reading">The reading.</param>
/// <param name="Station">Its station.</param>
/// <param name="Target">Nominal, or the middle of a two-sided band; null where the plan gives neither.</param>
/// <param name="Width">Width of the band, or null where it is one-sided or there is none.</param>
/// <param name="StandardUncertainty">From the row, or from the gauge's certificate and its resolution; null where neither is known.</param>
/// <param name="ThermalMm">What expansion has added to the value at the logged temperature, mm; 0 where it is not known.</param>
internal sealed record SheetPoint(Reading Reading, Station Station, double? Target, double? Width, double? StandardUncertainty, double ThermalMm)
{
    /// <summary>What is read.</summary>
    public Characteristic Characteristic => Reading.Characteristic;

    /// <summary>The value less what expansion has added.</summary>
    public double Value => Reading.Value - ThermalMm;

    /// <summary>Value less target.</summary>
    public double Deviation => Value - Target ?? 0;
}
