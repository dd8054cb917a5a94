namespace GapFlush.Adjustment;

/// <summary>With what probability the door is within its limits, the readings being as uncertain as stated and the moves made exactly.</summary>
/// <remarks>The lower of two is given: once as if the share of a gauge's certificate were one error of all its readings, once as if every reading had its own. METHOD.md, eq. 14.</remarks>
/// <param name="Before">That everything judged that steers is within its limits now.</param>
/// <param name="After">That it is after the moves.</param>
/// <param name="CurableAfter">That everything is that the moves are meant to bring or keep within; equal to <paramref name="After"/> where nothing stays outside.</param>
/// <param name="Worse">That more values are outside after the moves than before.</param>
/// <param name="Draws">Doors drawn.</param>
/// <param name="UnknownUncertainty">Readings without a stated uncertainty: they were taken as exact, so that the probabilities are too high.</param>
public sealed record AdjustmentOdds(double Before, double After, double CurableAfter, double Worse, int Draws, int UnknownUncertainty);
