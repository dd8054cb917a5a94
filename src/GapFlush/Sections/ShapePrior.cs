namespace GapFlush.Sections;

/// <summary>What is known of a side's shape before its points are looked at: from the other stations of the same side, or from the usual shop.</summary>
/// <param name="IsChamfer">Edge break.</param>
/// <param name="Break1">Radius, or the chamfer's length along the skin, mm.</param>
/// <param name="Break2">The chamfer's length along the wall, mm.</param>
/// <param name="DraftRad">Draft.</param>
internal sealed record ShapePrior(bool IsChamfer, (double Value, double Sd) Break1, (double Value, double Sd) Break2, (double Value, double Sd) DraftRad)
{
    /// <summary>Bend of the edge along the seam, against its nominal course, 1/mm (X2). A tenth of a metre's radius is not believed from one station alone.</summary>
    public (double Value, double Sd) Bend { get; init; } = (0, 0.005);

    /// <summary>Bow of the skin along the seam, against its nominal course, 1/mm (Y2).</summary>
    public (double Value, double Sd) Bow { get; init; } = (0, 0.005);

    /// <summary>Curvature of the skin across the seam, 1/mm. Skins bend with radii of some hundred millimetres; freer, a skin bowed over a strip of tape and took its tenth of a millimetre into the
    /// flush.</summary>
    public (double Value, double Sd) Curvature { get; init; } = (0, 0.003);

    /// <summary>How cells scatter beside what their points explain; null where each station is to find its own.</summary>
    public CellNoise? Noise { get; init; }

    /// <summary>Common practice, no source: radii from nothing to some millimetres; a moulded return has two degrees of draft, give or take as much, or it would not leave its mould.</summary>
    public static ShapePrior Usual { get; } = new(false, (1, 2), (1, 2), (0.035, 0.035));

    /// <summary>The same for a chamfer.</summary>
    public static ShapePrior UsualChamfer { get; } = Usual with { IsChamfer = true };
}
