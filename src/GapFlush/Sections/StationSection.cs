using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>What a section at one station says: gap and flush under the plan's definitions with their uncertainty, and each side's own place.</summary>
/// <remarks>
/// <para>Lengths mm. A value that cannot be known is null, and <see cref="Reason"/> says why. Uncertainties are standard (one sigma).</para>
/// <para>Places against nominal: the nominal seam runs in the middle of the nominal gap, so the nominal edges lie half a gap to either side of the station, on the nominal skin.</para>
/// </remarks>
public sealed record StationSection
{
    /// <summary>The station.</summary>
    public required Station Station { get; init; }

    /// <summary>Gap, mm.</summary>
    public double? GapMm { get; init; }

    /// <summary>Sources of the gap's uncertainty.</summary>
    public IReadOnlyList<UncertaintyComponent> GapBudget { get; init; } = [];

    /// <summary>Flush, mm.</summary>
    public double? FlushMm { get; init; }

    /// <summary>Sources of the flush's uncertainty.</summary>
    public IReadOnlyList<UncertaintyComponent> FlushBudget { get; init; } = [];

    /// <summary>Edge extreme of the surround along u, against nominal.</summary>
    public double? SurroundEdgeMm { get; init; }

    /// <summary>Skin of the surround at its virtual corner along n, against the nominal skin.</summary>
    public double? SurroundFaceMm { get; init; }

    /// <summary>Edge extreme of the door along u, against nominal.</summary>
    public double? DoorEdgeMm { get; init; }

    /// <summary>Skin of the door at its virtual corner along n, against nominal.</summary>
    public double? DoorFaceMm { get; init; }

    /// <summary>Standard uncertainties of the four places; null where they are not known.</summary>
    public SideUncertainty? SideUncertainty { get; init; }

    /// <summary>Angle from the surround's skin to the door's, rad; positive where the far end of the door goes outward.</summary>
    public double? TiltRad { get; init; }

    /// <summary>Points of the surround that bear on the result.</summary>
    public int SurroundPoints { get; init; }

    /// <summary>Points of the door that bear on the result.</summary>
    public int DoorPoints { get; init; }

    /// <summary>Standard deviation of the points' distances from the fitted outlines, mm: surround and door.</summary>
    public (double Surround, double Door)? NoiseMm { get; init; }

    /// <summary>Fitted outline of the surround in the section plane, u from the station; null where there is none.</summary>
    public Outline? Surround { get; init; }

    /// <summary>Fitted outline of the door.</summary>
    public Outline? Door { get; init; }

    /// <summary>Some of the points, for a drawing: along u and along n.</summary>
    public IReadOnlyList<(float U, float V)> Shown { get; init; } = [];

    /// <summary>Why a value is missing, or what to know about it; null when there is nothing to say.</summary>
    public string? Reason { get; init; }

    /// <summary>False where values are known but nothing is of their uncertainty: touches of an arm that the plan says nothing of.</summary>
    public bool HasKnownUncertainty { get; init; } = true;

    /// <summary>Standard uncertainty of the gap, mm.</summary>
    public double? GapUncertaintyMm => GapMm is null || !HasKnownUncertainty ? null : Combined(GapBudget);

    /// <summary>Standard uncertainty of the flush, mm.</summary>
    public double? FlushUncertaintyMm => FlushMm is null || !HasKnownUncertainty ? null : Combined(FlushBudget);

    private static double Combined(IReadOnlyList<UncertaintyComponent> budget) => Math.Sqrt(budget.Sum(c => c.StandardUncertainty * c.StandardUncertainty));
}
