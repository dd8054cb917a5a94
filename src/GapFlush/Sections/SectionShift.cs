using GapFlush.Geometry;
using GapFlush.Measurements;

namespace GapFlush.Sections;

/// <summary>Sections as they look after a last small motion of the scan, without fitting them again: gap and flush are between the sides and stay, places against nominal move.</summary>
internal static class SectionShift
{
    // Farther than this a station sees another stretch of the seam, and is fitted again. Along a taper of 3 mm a metre a millimetre changes the gap by 0.003 mm.
    public const double FarthestMm = 1;

    /// <summary>Moves a section.</summary>
    /// <param name="section">The section.</param>
    /// <param name="correction">The motion of the points, in plan axes.</param>
    /// <param name="placeUncertaintyMm">What a place on the seam is known to; the section's budget holds it for one millimetre.</param>
    public static StationSection Of(StationSection section, RigidMotion correction, double placeUncertaintyMm)
    {
        Vector3 moved = correction.Of(section.Station.Position) - section.Station.Position;
        double u = moved.Dot(section.Station.IntoDoor), v = moved.Dot(section.Station.Normal);
        (float U, float V)[] shown = new (float, float)[section.Shown.Count];
        for (int i = 0; i < shown.Length; i++) (shown[i].U, shown[i].V) = ((float)(section.Shown[i].U + u), (float)(section.Shown[i].V + v));
        return section with
        {
            SurroundEdgeMm = section.SurroundEdgeMm + u,
            SurroundFaceMm = section.SurroundFaceMm + v,
            DoorEdgeMm = section.DoorEdgeMm + u,
            DoorFaceMm = section.DoorFaceMm + v,
            Surround = section.Surround?.Shifted(new(u, v)),
            Door = section.Door?.Shifted(new(u, v)),
            Shown = shown,
            GapBudget = Scaled(section.GapBudget),
            FlushBudget = Scaled(section.FlushBudget),
        };

        IReadOnlyList<UncertaintyComponent> Scaled(IReadOnlyList<UncertaintyComponent> budget) =>
            [.. budget.Select(c => c.Source == DoorSections.RegistrationComponent ? c with { StandardUncertainty = placeUncertaintyMm * c.StandardUncertainty } : c)];
    }
}
