namespace GapFlush.Measurements;

/// <summary>Where a measurement came from.</summary>
public enum MeasurementOrigin
{
    /// <summary>Gauge readings.</summary>
    Readings,

    /// <summary>A section through a scan or through probed points.</summary>
    Section,

    /// <summary>Worked out from other measurements.</summary>
    Derived,

    /// <summary>Predicted, not measured: from the plan and what was measured elsewhere.</summary>
    Predicted,
}
