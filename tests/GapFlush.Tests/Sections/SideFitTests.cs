using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Reference;
using GapFlush.Reference.Geometry;
using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

public class SideFitTests
{
    private static readonly ReferenceFolder Reference = new(Fixture.At("reference", "geometry"));

    // Noisy sampled outlines with known truth: fixtures/reference/geometry, group sections, points_sNN.csv. Tolerance from its README: five times the
    // best standard deviation that any unbiased fit can have (six for the skin-end gap), at least 0.02 mm.
    [Fact]
    public void Noisy_outlines_give_every_definition_within_its_noise_floor()
    {
        List<double> inSd = [];
        List<string> wrong = [];
        foreach (string id in Reference.Rows("sections", "parameters.csv").Select(r => r["case"]).Distinct())
        {
            IReadOnlyDictionary<string, string> surroundRow = Row(id, "surround"), doorRow = Row(id, "door");
            SeamSection section = new(Fitted(id, surroundRow), Fitted(id, doorRow), SectionsGroup.ParametersOf(surroundRow));
            Compare(id, section, surroundRow, 5, 0.02, wrong, inSd);
        }
        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
        Assert.True(inSd.Count > 150);
        // Errors of the size of the bound itself: neither lucky nor wasteful. Seen 0.99.
        Assert.InRange(Math.Sqrt(inSd.Average(v => v * v)), 0.7, 1.3);
    }

    // Shuffled, unlabelled, with strays: scan_uNN.csv. Turned back as scans.csv says; everything else is found.
    [Fact]
    public void Shuffled_scans_with_strays_give_every_definition_within_their_tolerance()
    {
        List<string> wrong = [];
        foreach (IReadOnlyDictionary<string, string> scan in Reference.Rows("sections", "scans.csv"))
        {
            string id = scan["section_case"];
            IReadOnlyDictionary<string, string> surroundRow = Row(id, "surround");
            double turn = -double.DegreesToRadians(scan.Number("rotation_deg_ccw_section_to_scan"));
            Point2 shift = new(scan.Number("shift_x"), scan.Number("shift_z"));
            double gap = Row(id, "door").Number("corner_u");
            // Put so that the middle of the nominal gap is the origin, as at a station.
            Point2[] points = [.. Reference.Rows("sections", $"scan_{scan["scan"]}.csv").Select(r => (new Point2(r.Number("x"), r.Number("z")) - shift).TurnedBy(turn) - new Point2(gap / 2, 0))];
            SlabPoints slab = new(new double[points.Length], [.. points.Select(p => p.X)], [.. points.Select(p => p.Y)]);
            StationFit fit = StationFit.Run(slab, gap, 1.5, ShapePrior.Usual, ShapePrior.Usual, flat: true, tryChamfer: true);
            Assert.True(fit.Reason is null, $"{scan["scan"]}: {fit.Reason}");
            SeamSection section = new(fit.Surround!.Parameters.AtStation(false, 32, 8), fit.Door!.Parameters.AtStation(true, 32, 8), SectionsGroup.ParametersOf(surroundRow));
            Compare(id, section, surroundRow, 8, 0.04, wrong, []);
        }
        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
    }

    [Fact]
    public void Derivatives_agree_with_differences() => Cases.Each(300, random =>
    {
        bool chamfer = random.Unit() < 0.4;
        double[] p = [random.Between(-3, 3), random.Between(-0.05, 0.05), random.Between(-1e-3, 1e-3), random.Between(-1, 1), random.Between(-0.05, 0.05), random.Between(-1e-3, 1e-3),
            random.Between(-0.1, 0.1), random.Between(-1e-3, 1e-3), random.Between(-0.004, 0.004), random.Between(-1e-5, 1e-5), random.Between(-0.1, 0.1), random.Between(0.3, 3), chamfer ? random.Between(0.3, 3) : 0];
        double s = random.Between(-15, 15), x = random.Between(-20, 3), y = random.Between(-7, 1);
        Span<double> derivative = stackalloc double[SideParameters.Count];
        (double d, PieceKind piece) = new SideModel(new(chamfer, p)).At(s, x, y, derivative);
        if (Math.Abs(d) > 2) return;   // far off, only the sign of the distance matters
        Span<double> unused = stackalloc double[SideParameters.Count];
        for (int k = 0; k < SideParameters.Count; k++)
        {
            if (k == SideParameters.Break2 && !chamfer) continue;
            double step = 1e-6 * (k is 2 or 5 or 7 or 8 or 9 ? 1e-2 : 1);
            double[] up = (double[])p.Clone(), down = (double[])p.Clone();
            (up[k], down[k]) = (up[k] + step, down[k] - step);
            (double a, PieceKind pa) = new SideModel(new(chamfer, up)).At(s, x, y, unused);
            (double b, PieceKind pb) = new SideModel(new(chamfer, down)).At(s, x, y, unused);
            if (pa != piece || pb != piece) continue;   // a kink lies between them
            double expected = (a - b) / (2 * step);
            Near.Absolute(expected, derivative[k], 1e-5 * (1 + Math.Abs(expected)));
        }
    });

    private static IReadOnlyDictionary<string, string> Row(string id, string part) => Reference.Rows("sections", "parameters.csv").First(r => r["case"] == id && r["part"] == part);

    private static Outline Fitted(string id, IReadOnlyDictionary<string, string> row)
    {
        bool isDoor = row["part"] == "door";
        IReadOnlyDictionary<string, string>[] points = [.. Reference.Rows("sections", $"points_{id}.csv").Where(r => r["part"] == row["part"])];
        bool chamfer = row["chamfer_along_skin"].Length > 0;
        double radius = row.NumberOrNull("edge_radius") ?? 0, skin = row.Number("skin_radius"), side = isDoor ? -1 : 1;
        // Started a little off nominal, so that finding it means something.
        double[] start = new double[SideParameters.Count];
        start[SideParameters.X] = side * row.Number("corner_u") + 0.1;
        start[SideParameters.Y] = row.Number("corner_v") - 0.1;
        start[SideParameters.Turn] = side * double.DegreesToRadians(row.Number("tilt_deg")) + 0.005;
        start[SideParameters.Curvature] = skin == 0 ? 0 : 0.8 / skin;
        start[SideParameters.Draft] = double.DegreesToRadians(row.Number("draft_deg")) - 0.02;
        start[SideParameters.Break1] = chamfer ? row.Number("chamfer_along_skin") + 0.1 : radius == 0 ? 0 : radius * 1.2;
        start[SideParameters.Break2] = chamfer ? row.Number("chamfer_along_wall") + 0.1 : 0;
        bool[] free = SideSearch.Free(chamfer, flat: true);
        free[SideParameters.Break1] = chamfer || radius > 0;
        free[SideParameters.Curvature] = skin != 0;
        (double, double)[] prior = [.. Enumerable.Repeat((0.0, double.PositiveInfinity), SideParameters.Count)];
        SideFit fit = SideFit.Run(new(new double[points.Length], [.. points.Select(p => side * p.Number("u"))], [.. points.Select(p => p.Number("v"))]), new(chamfer, start), free, prior, [0.3, 0.1])!;
        Assert.True(fit.Converged, id);
        return fit.Parameters.AtStation(isDoor, row.Number("skin_length"), row.Number("wall_length"));
    }

    private static void Compare(string id, SeamSection section, IReadOnlyDictionary<string, string> parameters, double factor, double least, List<string> wrong, List<double> inSd)
    {
        Dictionary<string, double> floor = Reference.Rows("sections", "noise_floor.csv").Where(r => r["case"] == id).ToDictionary(r => r["quantity"], r => r.Number("best_possible_sd"));
        foreach (IReadOnlyDictionary<string, string> expected in Reference.Rows("sections", "expected.csv").Where(r => r["case"] == id && floor.ContainsKey(r["quantity"])))
        {
            string quantity = expected["quantity"];
            double? found = quantity switch
            {
                "G1_nearest_point" => section.NearestMm,
                "G2_edge_extreme" => section.EdgeMm,
                "G4_virtual_corner" => section.CornerGapMm,
                "G5_skin_end" => section.SkinEndGapMm,
                "F1_two_foot_base" => section.TwoFootMm,
                "F2_mid_gap" => section.MidGapMm,
                "F3_skin_end" => section.SkinEndFlushMm,
                "F4_virtual_corner" => section.CornerFlushMm,
                "F5_curvature_carried" => section.CurveCarriedMm,
                "tilt_door_minus_surround_deg" => double.RadiansToDegrees(section.TiltRad),
                _ => section.AtDepthMm(double.Parse(quantity["G3_at_depth_".Length..], CultureInfo.InvariantCulture)),
            };
            double error = (found ?? double.NaN) - expected.Number("value"), sd = floor[quantity];
            if (sd > 0) inSd.Add(error / sd);
            double allowed = Math.Max(least, (quantity.StartsWith("G5", StringComparison.Ordinal) ? 1.2 : 1) * factor * sd);
            if (!(Math.Abs(error) <= allowed)) wrong.Add(Invariant($"{id} {quantity}: off by {error:0.0000}, allowed {allowed:0.0000}"));
        }
    }
}
