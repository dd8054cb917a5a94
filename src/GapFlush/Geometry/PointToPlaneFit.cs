using GapFlush.Numerics;

namespace GapFlush.Geometry;

/// <summary>The rigid motion that brings points onto the planes they belong to: touched or scanned skin and edge onto nominal skin and edge.</summary>
/// <remarks>
/// <para>Frame: points are turned about a stated centre, then shifted: x goes to R (x - c) + t + c. The residual of a point is its distance from its plane,
/// positive on the side of the normal. Normals are made unit length.</para>
/// <para>Method: METHOD.md, (19) to (21). Least squares by repeated linear steps, each turn an exact rotation, to the last digit; one step is the
/// small-angle answer. Minimax likewise, by repeated exact linear programmes.</para>
/// <para>Rank: points on one surface only leave motions within it open (skin alone: four of six on a barrel, three on a plane); the shortest step is then taken, and
/// <see cref="Rank"/> says so.</para>
/// <para>No answer (null): no points; no convergence within 100 steps.</para>
/// <para>Accuracy: shift 1e-9 mm, turn 1e-12 rad, root mean square 1e-12 mm against 60-digit values (reference group stations).</para>
/// </remarks>
public sealed record PointToPlaneFit
{
    private PointToPlaneFit()
    {
    }

    /// <summary>The motion, in the axes of the points.</summary>
    public required RigidMotion Motion { get; init; }

    /// <summary>Turn about the centre: axis times angle, rad.</summary>
    public required Vector3 RotationRad { get; init; }

    /// <summary>Shift of the centre, mm.</summary>
    public required Vector3 ShiftMm { get; init; }

    /// <summary>Distance of each point from its plane afterwards, mm; of the linear form for a single step.</summary>
    public required IReadOnlyList<double> ResidualsMm { get; init; }

    /// <summary>How many of the six movements the points determine.</summary>
    public required int Rank { get; init; }

    /// <summary>Largest over smallest singular value, turns scaled by the stated length; infinite where a movement is not seen at all.</summary>
    public required double Condition { get; init; }

    /// <summary>Steps taken.</summary>
    public required int Iterations { get; init; }

    /// <summary>Root mean square of the residuals, mm.</summary>
    public double RmsMm => Math.Sqrt(ResidualsMm.Sum(r => r * r) / ResidualsMm.Count);

    /// <summary>Largest absolute residual, mm.</summary>
    public double MaxMm => ResidualsMm.Max(Math.Abs);

    /// <summary>Least squares.</summary>
    /// <param name="points">Points to move, mm.</param>
    /// <param name="places">A place on the plane of each point, mm.</param>
    /// <param name="normals">The normal of each plane; any length but nought.</param>
    /// <param name="centre">The point turned about, mm.</param>
    /// <param name="turnScaleMm">Length by which turns are scaled for rank and condition, mm.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a movement is not determined.</param>
    /// <param name="singleStep">True for the small-angle answer of one linear step.</param>
    /// <exception cref="ArgumentException">The lists differ in length, a number is not finite, or a normal has no direction.</exception>
    public static PointToPlaneFit? Fit(IReadOnlyList<Point3> points, IReadOnlyList<Point3> places, IReadOnlyList<Vector3> normals, Point3 centre, double turnScaleMm, double rankTolerance = 1e-6, bool singleStep = false) =>
        Run(points, places, normals, centre, turnScaleMm, rankTolerance, singleStep, (rows, target) =>
        {
            ThinSvd svd = ThinSvd.Of(rows);
            return svd.Solve(target, svd.Rank(rankTolerance));
        });

    /// <summary>The smallest worst distance.</summary>
    /// <param name="points">Points to move, mm.</param>
    /// <param name="places">A place on the plane of each point, mm.</param>
    /// <param name="normals">The normal of each plane; any length but nought.</param>
    /// <param name="centre">The point turned about, mm.</param>
    /// <param name="turnScaleMm">Length by which turns are scaled, mm.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a movement is not determined.</param>
    /// <param name="singleStep">True for the small-angle answer of one linear programme.</param>
    /// <exception cref="ArgumentException">As for <see cref="Fit"/>.</exception>
    public static PointToPlaneFit? FitMinimax(IReadOnlyList<Point3> points, IReadOnlyList<Point3> places, IReadOnlyList<Vector3> normals, Point3 centre, double turnScaleMm, double rankTolerance = 1e-6, bool singleStep = false) =>
        Run(points, places, normals, centre, turnScaleMm, rankTolerance, singleStep, (rows, target) => MinimaxFit.Solve(rows, target, rankTolerance)?.Solution);

    private static PointToPlaneFit? Run(IReadOnlyList<Point3> points, IReadOnlyList<Point3> places, IReadOnlyList<Vector3> normals, Point3 centre, double turnScaleMm, double rankTolerance, bool singleStep,
        Func<double[,], double[], IReadOnlyList<double>?> solve)
    {
        int n = points.Count;
        if (places.Count != n || normals.Count != n) throw new ArgumentException($"There are {n} points, {places.Count} places and {normals.Count} normals; all must be as many.", nameof(places));
        for (int i = 0; i < n; i++)
        {
            if (!points[i].IsFinite || !places[i].IsFinite || !normals[i].IsFinite || normals[i].Length == 0)
                throw new ArgumentException($"Point {i} has a coordinate that is not finite or a normal without direction.", nameof(points));
        }
        if (n == 0) return null;
        // About the centre: far from the origin the digits would go into the place instead of the motion.
        Vector3[] p = [.. points.Select(x => x - centre)], q = [.. places.Select(x => x - centre)], m = [.. normals.Select(v => v.ToUnit())];
        RigidMotion motion = RigidMotion.None;
        ThinSvd? first = null;
        double smallest = double.PositiveInfinity;
        int stalled = 0;
        for (int iteration = 1; iteration <= 100; iteration++)
        {
            double[,] rows = new double[n, 6];
            double[] target = new double[n];
            for (int i = 0; i < n; i++)
            {
                Vector3 x = motion.Turn(p[i]) + motion.Shift, turn = x.Cross(m[i]) / turnScaleMm;
                (rows[i, 0], rows[i, 1], rows[i, 2], rows[i, 3], rows[i, 4], rows[i, 5]) = (m[i].X, m[i].Y, m[i].Z, turn.X, turn.Y, turn.Z);
                target[i] = -m[i].Dot(x - q[i]);
            }
            first ??= ThinSvd.Of(rows);
            if (solve(rows, target) is not IReadOnlyList<double> step) return null;
            (Vector3 shift, Vector3 rotation) = (new(step[0], step[1], step[2]), new Vector3(step[3], step[4], step[5]) / turnScaleMm);
            if (singleStep)
            {
                double[] linear = [.. Enumerable.Range(0, n).Select(i => Enumerable.Range(0, 6).Sum(k => rows[i, k] * step[k]) - target[i])];
                return Result(RigidMotion.About(default, rotation, shift), rotation, shift, linear, iteration);
            }
            motion = RigidMotion.About(default, rotation, shift).After(motion);
            double size = step.Max(Math.Abs);
            // Steps shrink until rounding holds them up; five without getting smaller is that floor, which must be below 1e-9 mm to be believed.
            stalled = size < smallest ? 0 : stalled + 1;
            smallest = Math.Min(smallest, size);
            if (size > 1e-13 && (stalled < 5 || smallest > 1e-9)) continue;
            double[] residuals = [.. Enumerable.Range(0, n).Select(i => m[i].Dot(motion.Turn(p[i]) + motion.Shift - q[i]))];
            return Result(motion, motion.RotationRad, motion.Shift, residuals, iteration);
        }
        return null;

        PointToPlaneFit Result(RigidMotion about, Vector3 rotation, Vector3 shift, double[] residuals, int iterations) => new()
        {
            Motion = about with { Shift = about.Shift + centre.FromOrigin - about.Turn(centre.FromOrigin) },
            RotationRad = rotation,
            ShiftMm = shift,
            ResidualsMm = residuals,
            Rank = first!.Rank(rankTolerance),
            Condition = first.Condition,
            Iterations = iterations,
        };
    }
}
