namespace GapFlush.Sections;

/// <summary>What is known of a side's shape before its points are looked at: from the other stations of the same side, or from the usual shop.</summary>
/// <param name="IsChamfer">Edge break.</param>
/// <param name="Break1">Radius, or the chamfer's length along the skin, mm.</param>
/// <param name="Break2">The chamfer's length along the wall, mm.</param>
/// <param name="DraftRad">Draft.</param>
internal sealed record ShapePrior(bool IsChamfer, (double Value, double Sd) Break1, (double Value, double Sd) Break2, (double Value, double Sd) DraftRad)
{
    /// <summary>Common practice, no source: radii from nothing to some millimetres; a moulded return has two degrees of draft, give or take as much, or it would not leave its mould.</summary>
    public static ShapePrior Usual { get; } = new(false, (1, 2), (1, 2), (0.03, 0.04));
}
