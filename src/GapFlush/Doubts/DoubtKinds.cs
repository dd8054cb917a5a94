namespace GapFlush.Doubts;

/// <summary>The fixed short codes of the doubts there are.</summary>
public static class DoubtKinds
{
    /// <summary>Gauge readings and a scan of the same door tell different things.</summary>
    public const string ScanAgainstGauge = "scan-against-gauge";

    /// <summary>The sheet carries a serial that is not the aircraft's, or values that stand under another serial too.</summary>
    public const string WrongSerial = "wrong-serial";

    /// <summary>The sheet fits the door of the other hand much better than its own.</summary>
    public const string WrongHand = "wrong-hand";

    /// <summary>All flush readings of a gauge are off by one constant.</summary>
    public const string GaugeZero = "gauge-zero";

    /// <summary>Two stations seem to hold each other's values.</summary>
    public const string TransposedStations = "transposed-stations";

    /// <summary>The sheet fits much better when it is read backwards.</summary>
    public const string ReversedOrder = "reversed-order";

    /// <summary>Stations that the plan asks for were left out.</summary>
    public const string MissingStations = "missing-stations";

    /// <summary>Values are an inch's worth too small or too large.</summary>
    public const string InchValues = "inch-values";

    /// <summary>A decimal comma seems to have been lost.</summary>
    public const string DecimalComma = "decimal-comma";

    /// <summary>A value is a power of ten away from what its neighbours tell.</summary>
    public const string DecimalSlip = "decimal-slip";

    /// <summary>Values of another definition than the plan's stand in the sheet, marked or not.</summary>
    public const string DefinitionMix = "definition-mix";

    /// <summary>The paint state of the sheet is mixed, or does not go with its values.</summary>
    public const string PaintState = "paint-state";

    /// <summary>The same readings were handed in twice.</summary>
    public const string DoubleEntry = "double-entry";

    /// <summary>One value stands at more stations in a row than chance allows.</summary>
    public const string StuckValue = "stuck-value";

    /// <summary>The temperature matters and was not logged, or cannot be right.</summary>
    public const string TemperatureMissing = "temperature-missing";

    /// <summary>A gauge was used after its calibration ran out.</summary>
    public const string GaugeOverdue = "gauge-overdue";

    /// <summary>A gauge is too coarse for the limits it is used against.</summary>
    public const string GaugeCoarse = "gauge-coarse";

    /// <summary>The sheet was printed from another issue of the plan.</summary>
    public const string PlanSuperseded = "plan-superseded";

    /// <summary>Every kind, in the order in which doubts are listed: what concerns whole files first, single readings last.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        WrongSerial, DoubleEntry, PlanSuperseded, WrongHand, ReversedOrder, InchValues, PaintState, DefinitionMix, GaugeZero,
        GaugeOverdue, GaugeCoarse, TemperatureMissing, MissingStations, TransposedStations, DecimalComma, DecimalSlip, StuckValue, ScanAgainstGauge,
    ];
}
