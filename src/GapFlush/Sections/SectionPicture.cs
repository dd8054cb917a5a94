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
/// <param name="Runs">Both outlines cut into runs that points lie on and runs that the shape alone tells of.</param>
public sealed record SectionPicture(StationSection Station, double NominalGapMm, IReadOnlyList<(Point2 Place, SectionPointRole Role)> Points, IReadOnlyList<Point2> Surround, IReadOnlyList<Point2> Door,
    SectionDimension? Gap, SectionDimension? Flush, IReadOnlyList<IReadOnlyList<Point2>> Carried, IReadOnlyList<(IReadOnlyList<Point2> Course, bool IsSeen)> Runs)
{
    // Bisquare fits give a point beyond 3.5 scales no weight.
    private const double SetAside = 3.5;

    // A run is seen where a point lies this near along it; shorter stretches without one are chance.
    private const double SeenWithinMm = 1.5, LeastUnseenMm = 1;

    /// <summary>Prepares the drawing of a section.</summary>
    /// <param name="door">The door, for its definitions.</param>
    /// <param name="section">The section.</param>
    /// <param name="nominalGapMm">Nominal gap, mm.</param>
    public static SectionPicture Of(Door door, StationSection section, double nominalGapMm)
    {
        Point2[] points = [.. section.Shown.Select(p => new Point2(p.U, p.V))];
        if (section.Surround is not Outline surround || section.Door is not Outline moving)
            return new(section, nominalGapMm, [.. points.Select(p => (p, SectionPointRole.Unknown))], [], [], null, null, [], []);
        SectionParameters parameters = SectionParameters.Of(door);
        SeamSection cut = new(surround, moving, parameters with { EdgeDepthMm = Math.Min(parameters.EdgeDepthMm, StationFit.WallRunsToMm) });
        (SectionDimension? flush, IReadOnlyList<IReadOnlyList<Point2>> carried) = cut.FlushDimension(door.FlushDefinition);
        (Point2 Place, SectionPointRole Role)[] told = [.. points.Select(p => (p, Role(p)))];
        (List<Point2> left, List<Point2> right) = (Course(surround), Course(moving));
        return new(section, nominalGapMm, told, left, right,
            section.GapMm is null ? null : cut.GapDimension(door.GapDefinition), section.FlushMm is null ? null : flush, section.FlushMm is null ? [] : carried, [.. Cut(left, SectionPointRole.Surround), .. Cut(right, SectionPointRole.Door)]);

        SectionPointRole Role(Point2 p)
        {
            double toSurround = p.DistanceTo(surround.NearestTo(p)), toDoor = p.DistanceTo(moving.NearestTo(p));
            (double near, double noise, SectionPointRole role) = toSurround <= toDoor ? (toSurround, section.NoiseMm?.Surround ?? 0.1, SectionPointRole.Surround) : (toDoor, section.NoiseMm?.Door ?? 0.1, SectionPointRole.Door);
            return near > SetAside * noise ? SectionPointRole.SetAside : role;
        }

        IEnumerable<(IReadOnlyList<Point2>, bool)> Cut(List<Point2> course, SectionPointRole role) => Seen(course, [.. told.Where(p => p.Role == role).Select(p => p.Place)]);
    }

    private static List<(IReadOnlyList<Point2> Course, bool IsSeen)> Seen(List<Point2> course, Point2[] points)
    {
        const double StepMm = 0.25;
        List<Point2> fine = [course[0]];
        for (int i = 1; i < course.Count; i++)
        {
            int steps = (int)Math.Ceiling(course[i].DistanceTo(course[i - 1]) / StepMm);
            for (int k = 1; k <= steps; k++) fine.Add(course[i - 1] + (double)k / steps * (course[i] - course[i - 1]));
        }
        bool[] seen = [.. Enumerable.Range(0, fine.Count - 1).Select(i => Array.Exists(points, p => p.DistanceTo(fine[i]) < SeenWithinMm))];
        List<(IReadOnlyList<Point2>, bool)> runs = [];
        for (int from = 0; from < seen.Length;)
        {
            int to = from;
            while (to < seen.Length && (seen[to] == seen[from] || (seen[from] && IsShort(to)))) to++;
            runs.Add((fine.GetRange(from, to - from + 1), seen[from]));
            from = to;
        }
        return runs;

        // An unseen stretch between seen ones that is too short to tell of.
        bool IsShort(int at)
        {
            (int first, int last) = (at, at);
            while (first > 0 && !seen[first - 1]) first--;
            while (last < seen.Length - 1 && !seen[last + 1]) last++;
            return last < seen.Length - 1 && fine[last + 1].DistanceTo(fine[first]) < LeastUnseenMm;
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
