using GapFlush.Doubts;

namespace GapFlush.Demo;

/// <summary>The kinds of fault that can be planted in the readings of a demo build.</summary>
public static class FaultKinds
{
    /// <summary>The door's sheet carries a serial that is not the aircraft's: two digits turned round.</summary>
    public const string WrongSerial = DoubtKinds.WrongSerial;

    /// <summary>The sheets of the two cabin doors are exchanged: row by row, each holds what was read on the other hand.</summary>
    public const string WrongHand = DoubtKinds.WrongHand;

    /// <summary>The step gauge was not zeroed: one offset on every flush of the build.</summary>
    public const string GaugeZero = DoubtKinds.GaugeZero;

    /// <summary>The values of two stations are written in each other's rows.</summary>
    public const string TransposedStations = DoubtKinds.TransposedStations;

    /// <summary>The sheet of a door was filled from the bottom up.</summary>
    public const string ReversedOrder = DoubtKinds.ReversedOrder;

    /// <summary>Four stations in a row were left out.</summary>
    public const string MissingStations = DoubtKinds.MissingStations;

    /// <summary>The gaps of a door were read in inches and written as mm.</summary>
    public const string InchValues = DoubtKinds.InchValues;

    /// <summary>One gap is ten times what was read.</summary>
    public const string DecimalSlip = DoubtKinds.DecimalSlip;

    /// <summary>The gaps of one zone were read to the skin ends, past both edge radii, and say so.</summary>
    public const string DefinitionMix = DoubtKinds.DefinitionMix;

    /// <summary>A door was read painted and written down as bare.</summary>
    public const string PaintState = DoubtKinds.PaintState;

    /// <summary>The rows of one zone stand in the file twice.</summary>
    public const string DoubleEntry = DoubtKinds.DoubleEntry;

    /// <summary>The step gauge hung: one flush repeated over many stations in a row.</summary>
    public const string StuckValue = DoubtKinds.StuckValue;

    /// <summary>No temperature was written for a door.</summary>
    public const string TemperatureMissing = DoubtKinds.TemperatureMissing;

    /// <summary>The gaps of a door were read with a gauge past its calibration.</summary>
    public const string GaugeOverdue = DoubtKinds.GaugeOverdue;

    /// <summary>The gaps of a door were read with a gauge too coarse for the limits.</summary>
    public const string GaugeCoarse = DoubtKinds.GaugeCoarse;

    /// <summary>The sheet was printed from an older issue of the plan.</summary>
    public const string PlanSuperseded = DoubtKinds.PlanSuperseded;

    /// <summary>Every kind, in the order of the failures the trade fears.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        WrongSerial, WrongHand, GaugeZero, TransposedStations, ReversedOrder, MissingStations, InchValues, DecimalSlip,
        DefinitionMix, PaintState, DoubleEntry, StuckValue, TemperatureMissing, GaugeOverdue, GaugeCoarse, PlanSuperseded,
    ];
}
