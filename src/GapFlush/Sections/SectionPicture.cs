using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>What a drawing of one section needs: points told apart, both outlines, and between which places gap and flush were taken. Lengths mm, u to the right, v outward.</summary>
/// <param name="Station">The section.</param>
/// <param name="NominalGapMm">Nominal gap: the nominal edges lie half of it to either side of the station.</param>
/// <param name="Points">Points of the scan with what they were taken for.</param>
/// <param name="Surround">Course of the surround's outline, far skin to wall; empty where there is none.</param>
/// <param name="Door">Course of the door's outline.</param>
/// <param name="Gap">The places the gap is between; null where there is no gap.</param>
/// <param name="Flush">The places the flush is between; null where there is no flush.</param>
/// <param name="Carried">Skins carried on to where the flush is taken.</param>
public sealed record SectionPicture(StationSection Station, double NominalGapMm, IReadOnlyList<(Point2 Place, SectionPointRole Role)> Points, IReadOnlyList<Point2> Surround, IReadOnlyList<Point2> Door,
    SectionDimension? Gap, SectionDimension? Flush, IReadOnlyList<IReadOnlyList<Point2>> Carried)
{
    // Bisquare fits give a point beyond 3.5 scales no weight.
    private const double SetAside = 3.5;

    /// <summary>Prepares the drawing of a section.</summary>
    /// <param name="door">The door, for its definitions.</param>
    /// <param name="section">The section.</param>
    /// <param name="nominalGapMm">Nominal gap, mm.</param>
    public static SectionPicture Of(Door door, StationSection section, double nominalGapMm)
    {
        Point2[] points = [.. section.Shown.Select(p => new Point2(p.U, p.V))];
        if (section.Surround is not Outline surround || section.Door is not Outline moving)
            return new(section, nominalGapMm, [.. points.Select(p => (p, SectionPointRole.Unknown))], [], [], null, null, []);
        SectionParameters parameters = SectionParameters.Of(door);
        SeamSection cut = new(surround, moving, parameters with { EdgeDepthMm = Math.Min(parameters.EdgeDepthMm, StationFit.WallRunsToMm) });
        (SectionDimension? flush, IReadOnlyList<IReadOnlyList<Point2>> carried) = cut.FlushDimension(door.FlushDefinition);
        return new(section, nominalGapMm, [.. points.Select(p => (p, Role(p)))], Course(surround), Course(moving),
            section.GapMm is null ? null : cut.GapDimension(door.GapDefinition), section.FlushMm is null ? null : flush, section.FlushMm is null ? [] : carried);

        SectionPointRole Role(Point2 p)
        {
            double toSurround = p.DistanceTo(surround.NearestTo(p)), toDoor = p.DistanceTo(moving.NearestTo(p));
            (double near, double noise, SectionPointRole role) = toSurround <= toDoor ? (toSurround, section.NoiseMm?.Surround ?? 0.1, SectionPointRole.Surround) : (toDoor, section.NoiseMm?.Door ?? 0.1, SectionPointRole.Door);
            return near > SetAside * noise ? SectionPointRole.SetAside : role;
        }
    }

    // Chords that leave an arc by less than a hundredth of a millimetre.
    private static List<Point2> Course(Outline outline)
    {
        List<Point2> course = [];
        foreach (OutlinePiece piece in outline.Pieces)
        {
            int steps = piece.IsArc ? 24 : 1;
            double a0 = Math.Atan2(piece.From.Y - piece.Centre.Y, piece.From.X - piece.Centre.X), a1 = Math.Atan2(piece.To.Y - piece.Centre.Y, piece.To.X - piece.Centre.X);
            double sweep = a1 - a0 - 2 * Math.PI * Math.Round((a1 - a0) / (2 * Math.PI));
            for (int i = course.Count == 0 ? 0 : 1; i <= steps; i++)
            {
                double part = (double)i / steps, a = a0 + part * sweep;
                course.Add(piece.IsArc ? piece.Centre + piece.Radius * new Point2(Math.Cos(a), Math.Sin(a)) : piece.From + part * (piece.To - piece.From));
            }
        }
        return course;
    }
}
