using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>The last small motion that lays a scan on the surround: its skin and its seam edges, each believed as far as its own scatter goes.</summary>
/// <remarks>
/// <para>Observations: the height of the scanned skin over the nominal skin of the surround, as the middle of each patch; at every station the surround's edge against nominal along u and its
/// skin along n. The door is what is being measured and has no say. Each kind has its own variance, found from its residuals, and no better than blocks of neighbours agree: edges wave along the seam
/// and skins bulge, so neighbours share errors. Bisquare weights inside each kind. METHOD.md, eq. 10 to 14.</para>
/// <para>No answer: a movement of the door is held no better than <see cref="WeakestMm"/>.</para>
/// <para>Source: variance components after W. Förstner, Allgemeine Vermessungs-Nachrichten 86 (1979) 446 [from memory].</para>
/// </remarks>
public sealed record SurroundRegistration
{
    /// <summary>Standard uncertainty of a place on the seam beyond which the registration is refused, mm. Common practice, no source: a tenth of a usual tolerance.</summary>
    public const double WeakestMm = 0.2;

    // Between stations the seam is taken as a cubic and the skin as patches: on a corner of 70 mm radius that is wrong by some micrometres, alike in every scan of the door.
    internal const double CourseSdMm = 0.003;

    private const int MostRounds = 40;
    // Waves of a skin are longer than a patch and shorter than a door: whichever length shows most of them tells how far neighbours agree.
    private static readonly double[] BlocksMm = [150, 300];

    private enum Kind { Edge, Face, Skin }

    /// <summary>The small motion, after the one that the sightings were taken with.</summary>
    public required RigidMotion Correction { get; init; }

    /// <summary>Standard uncertainties of the six movements about the door's centre: shifts along x, y, z (mm) and turns about them (mrad).</summary>
    public required IReadOnlyList<double> StandardUncertainties { get; init; }

    /// <summary>Condition of the six movements, turns taken at the door's edge: largest uncertainty over smallest.</summary>
    public required double Condition { get; init; }

    /// <summary>Largest standard uncertainty of a place on the seam, mm.</summary>
    public required double PlaceUncertaintyMm { get; init; }

    /// <summary>The same for any place and direction.</summary>
    public required MotionUncertainty Uncertainty { get; init; }

    /// <summary>The movement held least, in words.</summary>
    public required string Weakest { get; init; }

    /// <summary>Rounds until nothing moved, and true where that was reached.</summary>
    public required (int Rounds, bool Reached) Convergence { get; init; }

    /// <summary>Places of edges and patches of skin that bore on it, and their standard deviations, mm.</summary>
    public required (int Edges, double EdgeSdMm, int Patches, double SkinSdMm) Used { get; init; }

    /// <summary>As how many places that do not share their form edges and skin hold the scan: waves and bulges make many say little more than a few.</summary>
    public required (double Edges, double Skin) Pieces { get; init; }

    /// <summary>One line that says all this.</summary>
    public string Remark => Invariant($"laid on {Used.Edges} edges of the surround ({Used.EdgeSdMm:0.000} mm about nominal, worth {Pieces.Edges:0} places of their own){(Used.Patches > 0 ? Invariant($" and {Used.Patches} patches of its skin ({Used.SkinSdMm:0.000} mm, worth {Pieces.Skin:0})") : "")}; ")
        + Invariant($"{(Convergence.Reached ? "converged" : "not converged")} after {Convergence.Rounds} rounds; standard uncertainties: x {StandardUncertainties[0]:0.000}, y {StandardUncertainties[1]:0.000}, z {StandardUncertainties[2]:0.000} mm, ")
        + Invariant($"about x {StandardUncertainties[3]:0.000}, y {StandardUncertainties[4]:0.000}, z {StandardUncertainties[5]:0.000} mrad, a place on the seam {PlaceUncertaintyMm:0.000} mm; condition {Condition:0.0}, held least: {Weakest}");

    /// <summary>What a section saw of the surround at a station: its edge along u and its skin along n, against nominal, mm.</summary>
    public sealed record Sighting(Station Station, double? EdgeMm, double? FaceMm);

    /// <summary>Finds the motion.</summary>
    /// <param name="door">The door.</param>
    /// <param name="sightings">What the sections saw.</param>
    /// <param name="skin">The nominal skin of the surround; null where the plan gives none.</param>
    /// <param name="sample">Points of the scan, mm.</param>
    /// <param name="laid">How the sightings' scan lay: from the scan to the plan.</param>
    /// <param name="edgeSdMm">Standard deviation of the edges where it is known beforehand; null to find it from their residuals.</param>
    /// <returns>The registration, or null where fewer than twelve sightings or six movements that are not held.</returns>
    internal static SurroundRegistration? Fit(Door door, IReadOnlyList<Sighting> sightings, NominalSkin? skin, ScanSample sample, RigidMotion laid, double? edgeSdMm = null)
    {
        Point3 centre = door.Centre;
        double size = door.Stations.Average(s => s.Position.DistanceTo(centre));
        List<Row> rows = [];
        foreach (Sighting s in sightings)
        {
            Vector3 arm = s.Station.Position - centre;
            int[] blocks = [.. BlocksMm.Select(b => (int)(s.Station.AlongMm / b))];
            if (s.EdgeMm is double edge) rows.Add(new(Kind.Edge, arm, MotionUncertainty.Movement(arm, s.Station.IntoDoor, size), edge, blocks));
            if (s.FaceMm is double face) rows.Add(new(Kind.Face, arm, MotionUncertainty.Movement(arm, s.Station.Normal, size), face, blocks));
        }
        if (rows.Count < 12) return null;
        if (skin is not null) rows.AddRange(Patches(skin, sample, laid, centre, size));
        return Solve(door, centre, size, [.. rows], edgeSdMm);
    }

    // Trust: the share of a full observation that it is worth, for patches of few points.
    private sealed record Row(Kind Kind, Vector3 At, double[] J, double Value, int[] Blocks, double Trust = 1)
    {
        public double Left { get; set; }

        public double Weight { get; set; } = Trust;
    }

    private static SurroundRegistration? Solve(Door door, Point3 centre, double size, Row[] rows, double? edgeSdMm)
    {
        double[] x = new double[6], sd = [edgeSdMm ?? 0.05, 0.05, 0.05];
        double[,] inverse = new double[6, 6];
        (int rounds, bool reached) = (0, false);
        IReadOnlyList<double> pieces = [];
        while (rounds < MostRounds && !reached)
        {
            rounds++;
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            foreach (Row row in rows)
            {
                row.Left = row.Value + Dot(row.J, x);
                double w = row.Weight / (sd[(int)row.Kind] * sd[(int)row.Kind]);
                for (int a = 0; a < 6; a++)
                {
                    g[a] += w * row.J[a] * row.Left;
                    for (int b = 0; b < 6; b++) m[a, b] += w * row.J[a] * row.J[b];
                }
            }
            if (Cholesky.Factor(m) is not double[,] factor) return null;
            inverse = Cholesky.Inverse(factor);
            double[] d = Cholesky.Solve(factor, g);
            for (int a = 0; a < 6; a++) x[a] -= d[a];
            reached = rounds > 8 && d.Max(Math.Abs) < 1e-7;
            foreach (Row row in rows) row.Left = row.Value + Dot(row.J, x);
            // Scales and weights settle first; then they stay, so that the rest is one linear problem.
            if (rounds > 30) continue;
            foreach (Kind kind in (ReadOnlySpan<Kind>)[Kind.Edge, Kind.Face, Kind.Skin])
            {
                if (kind != Kind.Edge || edgeSdMm is null) sd[(int)kind] = Reweigh([.. rows.Where(r => r.Kind == kind)], inverse, sd[(int)kind]);
            }
        }
        // Beforehand the scatter is not known but given; afterwards the rows themselves tell how far neighbours share it.
        if (edgeSdMm is null)
        {
            if (FormErrors.Settle(Rows(r => r.Kind != Kind.Edge), Rows(r => r.Kind == Kind.Edge)) is not FormErrors formed) return null;
            (x, inverse, pieces) = (formed.Movements, formed.Covariance, formed.Pieces);
            foreach (Row row in rows) row.Left = row.Value + Dot(row.J, x);
        }
        double[] six = [.. Enumerable.Range(0, 6).Select(k => Math.Sqrt(inverse[k, k]) * (k < 3 ? 1 : 1000 / size))];
        ThinSvd modes = ThinSvd.Of(inverse);
        MotionUncertainty uncertainty = new(centre, size, inverse, CourseSdMm);
        double place = uncertainty.Worst(door);
        if (!(place < double.PositiveInfinity)) return null;
        Vector3 turn = new(x[3] / size, x[4] / size, x[5] / size);
        (int edges, int patches) = (rows.Count(r => r.Kind == Kind.Edge && r.Weight > 0.1 * r.Trust), rows.Count(r => r.Kind == Kind.Skin && r.Weight > 0.1 * r.Trust));
        return new()
        {
            Correction = RigidMotion.About(centre, turn, new(x[0], x[1], x[2])),
            StandardUncertainties = six,
            Condition = Math.Sqrt(modes.Condition),
            PlaceUncertaintyMm = place,
            Uncertainty = uncertainty,
            Weakest = Name(Enumerable.Range(0, 6).MaxBy(k => inverse[k, k])),
            Convergence = (rounds, reached),
            Pieces = pieces.Count > 1 ? (pieces[1], pieces[0]) : (edges, patches),
            Used = (edges, Scatter(Kind.Edge), patches, Scatter(Kind.Skin)),
        };

        FormSupposition.Row[] Rows(Func<Row, bool> which) => [.. rows.Where(which).Select(r => new FormSupposition.Row(r.At, r.J, r.Value, r.Weight))];

        double Scatter(Kind kind)
        {
            double[] left = [.. rows.Where(r => r.Kind == kind && r.Weight > 0.1 * r.Trust).Select(r => r.Left)];
            return left.Length > 0 ? Math.Sqrt(left.Average(v => v * v)) : 0;
        }
    }

    private static string Name(int movement) => movement switch { 0 => "shift along x", 1 => "shift along y", 2 => "shift along z", 3 => "turn about x", 4 => "turn about y", _ => "turn about z" };

    // Bisquare weights inside a kind, and its standard deviation: of the residuals, and no better than blocks of neighbours agree.
    private static double Reweigh(Row[] rows, double[,] inverse, double before)
    {
        const double Least = 0.002;   // below, noise of a scan would be believed to a share that no skin is true to
        if (rows.Length == 0) return before;
        double scale = Math.Max(1e-4, RobustWeights.Scale([.. rows.Select(r => Math.Sqrt(r.Trust) * r.Left)]));
        double sum = 0, weights = 0, held = 0;
        foreach (Row row in rows)
        {
            row.Weight = row.Trust * RobustWeights.Of(RobustLoss.Tukey, row.Left * Math.Sqrt(row.Trust), scale);
            sum += row.Weight * row.Left * row.Left;
            weights += row.Weight;
            held += row.Weight * Cholesky.Quadratic(inverse, row.J) / (before * before);
        }
        double variance = sum / Math.Max(weights - Math.Min(held, 0.8 * weights), 1e-9);
        double inflated = Enumerable.Range(0, BlocksMm.Length).Max(size =>
        {
            double shared = 0, used = 0;
            int blocks = 0;
            foreach (IGrouping<int, Row> block in rows.GroupBy(r => r.Blocks[size]))
            {
                double w = block.Sum(r => r.Weight);
                if (w < 0.5) continue;
                double mean = block.Sum(r => r.Weight * r.Left) / w;
                // The square of a sum of w independent residuals is w variances.
                shared += mean * mean * w;
                used += w;
                blocks++;
            }
            // What the movements took up of the blocks' means is missing from them.
            return blocks > 0 ? Math.Clamp(shared / Math.Max(blocks - held, 0.4 * blocks), variance, variance * Math.Max(1, used / blocks)) : variance;
        });
        return Math.Max(Least, Math.Sqrt(inflated));
    }

    private static IEnumerable<Row> Patches(NominalSkin skin, ScanSample sample, RigidMotion laid, Point3 centre, double size)
    {
        const int PointsInPatch = 80, LeastPoints = 6, FewPoints = 10;
        // Cells as wide as a patch, so that a point has at most eight to ask.
        double cell = Math.Max(2 * skin.Patches[0].RadiusMm, 1);
        PlaceIndex cells = new();
        List<List<int>> near = [];
        for (int i = 0; i < skin.Patches.Count; i++)
        {
            Point3 p = skin.Patches[i].Position;
            for (int k = 0; k < 8; k++)
            {
                double r = cell / 2;
                Point3 corner = p + new Vector3((k & 1) == 0 ? -r : r, (k & 2) == 0 ? -r : r, (k & 4) == 0 ? -r : r);
                int held = cells.Of(Cell(corner.X), Cell(corner.Y), Cell(corner.Z));
                if (held == near.Count) near.Add([]);
                if (!near[held].Contains(i)) near[held].Add(i);
            }
        }
        int[] some = sample.Some(4 * PointsInPatch * skin.Patches.Count);
        // Of each of them where it lies, how high over the skin, and that skin's normal; of each patch which are its own.
        (Point3[] places, float[] above, Vector3[] normals, List<int>?[] found) = (new Point3[some.Length], new float[some.Length], new Vector3[some.Length], new List<int>?[skin.Patches.Count]);
        for (int i = 0; i < some.Length; i++)
        {
            Point3 p = places[i] = laid.Of(sample[some[i]]);
            int held = cells.Find(Cell(p.X), Cell(p.Y), Cell(p.Z));
            if (held < 0) continue;
            foreach (int k in near[held])
            {
                if (skin.Patches[k].Above(p) is not (double height, Vector3 normal) || !(Math.Abs(height) < 3)) continue;
                (above[i], normals[i]) = ((float)height, normal);
                (found[k] ??= []).Add(i);
                break;
            }
        }
        foreach (List<int>? patch in found)
        {
            if (patch is null || patch.Count < LeastPoints) continue;
            double[] heights = new double[patch.Count];
            for (int i = 0; i < heights.Length; i++) heights[i] = above[patch[i]];
            double median = Selection.Nth(heights, heights.Length / 2);
            for (int i = 0; i < heights.Length; i++) heights[i] -= median;
            double spread = RobustWeights.Scale(heights), sum = 0;
            int n = 0;
            (Vector3 normal, Vector3 at) = (default, default);
            foreach (int i in patch)
            {
                if (Math.Abs(above[i] - median) > 2.5 * spread) continue;
                (sum, normal, at, n) = (sum + above[i], normal + normals[i], at + (places[i] - centre), n + 1);
            }
            if (n < LeastPoints) continue;
            Vector3 arm = at / n;
            int[] blocks = [.. BlocksMm.Select(b => ((int)Math.Floor(arm.X / b) * 1024 + (int)Math.Floor(arm.Y / b)) * 1024 + (int)Math.Floor(arm.Z / b))];
            yield return new(Kind.Skin, arm, MotionUncertainty.Movement(arm, normal.ToUnit(), size), sum / n, blocks, n / (double)(n + FewPoints));
        }

        int Cell(double mm) => (int)Math.Floor(mm / cell);
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }
}
