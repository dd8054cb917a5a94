using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Hanging;

public class DoorDisplacementTests
{
    // One 720 x 900 mm door on a 900 mm barrel, 24 stations; gap good to 0.06 mm, flush to 0.04 mm.
    private const double GapSigma = 0.06, FlushSigma = 0.04;

    [Theory]
    [InlineData(1.0)]     // the stated uncertainties are right
    [InlineData(1.7)]     // the readings scatter more than stated
    [InlineData(0.4)]     // ... and less
    public void The_95_percent_interval_holds_the_planted_displacement_in_93_to_97_percent_of_1000_doors(double actualOverStated)
    {
        Door door = SampleDoor.Make();
        int[] held = new int[6];
        int joint = 0;
        Cases.Each(1000, random =>
        {
            SmallDisplacement planted = Planted(random, door.Centre);
            DoorDisplacement found = DoorDisplacement.Fit(Deviations(door, planted, random, actualOverStated), door.Centre)!;
            for (int i = 0; i < 6; i++)
                if (found.Movements[i].Lower95 <= planted[i] && planted[i] <= found.Movements[i].Upper95) held[i]++;
            if (found.JointRegion95Holds(planted) == true) joint++;
        });
        Assert.All(held, h => Assert.InRange(h, 930, 970));
        Assert.InRange(joint, 930, 970);
    }

    [Fact]
    public void The_robust_interval_holds_the_planted_displacement_although_three_readings_are_wrong()
    {
        Door door = SampleDoor.Make();
        int[] held = new int[6], plainHeld = new int[6];
        Cases.Each(300, random =>
        {
            SmallDisplacement planted = Planted(random, door.Centre);
            List<SeamDeviation> deviations = Deviations(door, planted, random, 1);
            foreach (int bad in (int[])[3, 20, 31]) deviations[bad] = deviations[bad] with { DeviationMm = deviations[bad].DeviationMm + random.Between(1, 3) };
            DoorDisplacement found = DoorDisplacement.FitRobust(deviations, door.Centre)!, plain = DoorDisplacement.Fit(deviations, door.Centre)!;
            for (int i = 0; i < 6; i++)
            {
                if (found.Movements[i].Lower95 <= planted[i] && planted[i] <= found.Movements[i].Upper95) held[i]++;
                if (plain.Movements[i].StandardUncertainty > 3 * found.Movements[i].StandardUncertainty) plainHeld[i]++;
            }
            Assert.All((int[])[3, 20, 31], bad => Assert.Equal(0, found.Residuals[bad].Weight));
        });
        Assert.All(held, h => Assert.InRange(h, 274, 296));       // 95 % of 300 is 285, with three sigma of luck
        Assert.All(plainHeld, h => Assert.InRange(h, 285, 300));   // least squares pays for three bad readings with intervals over three times as wide
    }

    [Fact]
    public void An_exact_displacement_is_found_exactly_by_every_method() => Cases.Each(200, random =>
    {
        Door door = SampleDoor.Make(count: 8 + random.Below(30), backwards: random.Below(2) == 1, hand: random.Below(2) == 1 ? Hand.Left : Hand.Right);
        SmallDisplacement planted = Planted(random, door.Centre);
        List<SeamDeviation> deviations = Deviations(door, planted, random, 0);
        foreach (DoorDisplacement? found in (DoorDisplacement?[])[DoorDisplacement.Fit(deviations, door.Centre), DoorDisplacement.FitRobust(deviations, door.Centre), DoorDisplacement.FitMinimax(deviations, door.Centre)])
        {
            Assert.NotNull(found);
            Assert.Equal(6, found.Rank);
            for (int i = 0; i < 6; i++) Near.Absolute(planted[i], found.Movements[i].Value!.Value, i < 3 ? 1e-12 : 1e-14);
            Assert.InRange(found.MaxAfterMm, 0, 1e-12);
        }
    });

    [Fact]
    public void A_bad_reading_among_exact_ones_costs_the_robust_fit_nothing() => Cases.Each(200, random =>
    {
        Door door = SampleDoor.Make(count: 12);
        SmallDisplacement planted = Planted(random, door.Centre);
        List<SeamDeviation> deviations = Deviations(door, planted, random, 0);
        int bad = random.Below(deviations.Count);
        deviations[bad] = deviations[bad] with { DeviationMm = deviations[bad].DeviationMm + 2 };
        DoorDisplacement found = DoorDisplacement.FitRobust(deviations, door.Centre)!;
        for (int i = 0; i < 6; i++) Near.Absolute(planted[i], found.Movements[i].Value!.Value, 1e-7);
        Near.Absolute(2, found.Residuals[bad].ResidualMm, 1e-6);
        Assert.True(DoorDisplacement.Fit(deviations, door.Centre)!.MaxAfterMm < 1.99);
    });

    [Fact]
    public void Shuffled_turned_and_restated_readings_give_the_same_displacement() => Cases.Each(100, random =>
    {
        Door door = SampleDoor.Make();
        SmallDisplacement planted = Planted(random, door.Centre);
        List<SeamDeviation> deviations = Deviations(door, planted, random, 1);
        DoorDisplacement found = DoorDisplacement.Fit(deviations, door.Centre)!;

        SeamDeviation[] shuffled = [.. deviations.OrderBy(_ => random.Bits())];
        Same(found.Displacement, DoorDisplacement.Fit(shuffled, door.Centre)!.Displacement);
        // About another point: the same motion, stated elsewhere.
        Same(found.Displacement.StatedAbout(new(100, 200, 300)), DoorDisplacement.Fit(deviations, new Point3(100, 200, 300))!.Displacement);
        // The aircraft turned by a quarter about z: x -> y, y -> -x.
        static Vector3 Turn(Vector3 v) => new(-v.Y, v.X, v.Z);
        static Point3 TurnPoint(Point3 p) => new(-p.Y, p.X, p.Z);
        DoorDisplacement turned = DoorDisplacement.Fit([.. deviations.Select(d => d with { Position = TurnPoint(d.Position), Direction = Turn(d.Direction) })], TurnPoint(door.Centre))!;
        Same(new(Turn(found.Displacement.TranslationMm), Turn(found.Displacement.RotationRad), TurnPoint(door.Centre)), turned.Displacement);

        static void Same(SmallDisplacement a, SmallDisplacement b)
        {
            for (int i = 0; i < 6; i++) Near.Absolute(a[i], b[i], i < 3 ? 1e-9 : 1e-12);
        }
    });

    [Fact]
    public void A_mirrored_door_moves_as_a_mirror_image() => Cases.Each(50, random =>
    {
        SmallDisplacement planted = Planted(random, SampleDoor.Make().Centre);
        Door left = SampleDoor.Make(hand: Hand.Left), right = SampleDoor.Make(hand: Hand.Right);
        List<SeamDeviation> there = Deviations(left, planted, random, 1);
        // The same readings, station by station, on the mirrored door.
        SeamDeviation[] here = [.. there.Select(d => d with { Position = Mirror(d.Position), Direction = new(d.Direction.X, -d.Direction.Y, d.Direction.Z) })];
        Assert.All(here, d => Near.Absolute(0, right.Find(d.Station)!.Position.DistanceTo(d.Position), 1e-9));
        SmallDisplacement a = DoorDisplacement.Fit(there, left.Centre)!.Displacement, b = DoorDisplacement.Fit(here, right.Centre)!.Displacement;
        // Mirrored in y = 0: shifts keep x and z and change y; turns keep y and change x and z.
        double[] signs = [1, -1, 1, -1, 1, -1];
        for (int i = 0; i < 6; i++) Near.Absolute(signs[i] * a[i], b[i], i < 3 ? 1e-9 : 1e-12);

        static Point3 Mirror(Point3 p) => new(p.X, -p.Y, p.Z);
    });

    [Fact]
    public void Flush_alone_on_a_flat_door_leaves_the_three_movements_in_its_plane_open() => Cases.Each(50, random =>
    {
        Door door = SampleDoor.Make(barrelMm: double.PositiveInfinity);
        SmallDisplacement planted = Planted(random, door.Centre);
        SeamDeviation[] flush = [.. Deviations(door, planted, random, 0).Where(d => d.Characteristic == Characteristic.Flush)];
        DoorDisplacement found = DoorDisplacement.Fit(flush, door.Centre)!;
        Assert.Equal(3, found.Rank);
        Assert.True(double.IsInfinity(found.Condition));
        // The skin lies in x and z: in-out and the turns about x and z are seen, the rest is not.
        Assert.Equal([false, true, false, true, false, true], found.Movements.Select(m => m.Value is not null));
        Near.Absolute(planted[1], found.Movements[1].Value!.Value, 1e-12);
        Near.Absolute(planted[3], found.Movements[3].Value!.Value, 1e-14);
        Assert.Equal(0, found.Displacement.TranslationMm.X);
        Assert.Equal("The readings do not determine shift along x, shift along z and turn about y; the displacement shown takes as little of them as it can.", found.UndeterminedWords);
        Assert.InRange(found.MaxAfterMm, 0, 1e-12);
    });

    [Fact]
    public void Flush_alone_on_a_barrel_leaves_the_slide_round_the_barrel_open()
    {
        Door door = SampleDoor.Make(barrelMm: 900);
        DoorDisplacement found = DoorDisplacement.Fit([.. door.Stations.Select(s => SeamDeviation.OfFlush(s, 0.3, 0.05))], door.Centre)!;
        Assert.Equal(4, found.Rank);
        Assert.Null(found.Movements[0].Value);   // along the barrel
        Assert.Null(found.Movements[2].Value);   // round it: a shift up with a turn about x
        Assert.Null(found.Movements[3].Value);
        Assert.NotNull(found.Movements[4].Value);
        Assert.Contains("(2 independent combinations of them)", found.UndeterminedWords, StringComparison.Ordinal);
    }

    [Fact]
    public void Few_readings_answer_for_what_they_show_and_no_more()
    {
        Door door = SampleDoor.Make();
        Assert.Null(DoorDisplacement.Fit([]));
        DoorDisplacement one = DoorDisplacement.Fit([SeamDeviation.OfGap(door.Stations[0], 0.5, 0.05)])!;
        Assert.Equal(1, one.Rank);
        Assert.Equal(0, one.DegreesOfFreedom);
        Near.Absolute(0, one.MaxAfterMm, 1e-12);
        Assert.Null(one.ReducedChiSquare);
        Assert.False(one.IsScaledByScatter);
        Assert.Equal(1.959964, one.CoverageFactor95!.Value, 6);
        // Without a stated uncertainty and without freedom nothing can be said of it.
        Assert.Null(DoorDisplacement.Fit([SeamDeviation.OfGap(door.Stations[0], 0.5)])!.CoverageFactor95);
        Assert.Null(DoorDisplacement.FitRobust([.. door.Stations.Take(5).Select(s => SeamDeviation.OfGap(s, 0.1))]));
    }

    [Fact]
    public void Residuals_beyond_noise_are_called_shape_and_noise_is_not()
    {
        Door door = SampleDoor.Make();
        int proven = 0;
        Cases.Each(500, random =>
        {
            List<SeamDeviation> deviations = Deviations(door, Planted(random, door.Centre), random, 1);
            if (DoorDisplacement.Fit(deviations, door.Centre)!.ShapeIsProven == true) proven++;
        });
        Assert.InRange(proven, 0, 12);   // 1 % of 500, with three sigma of luck

        Cases.Each(100, random =>
        {
            // A twisted door: corners alternately 0.3 mm in and out, which no displacement explains.
            List<SeamDeviation> deviations = [.. Deviations(door, Planted(random, door.Centre), random, 1).Select(d =>
                d.Characteristic == Characteristic.Gap ? d : d with { DeviationMm = d.DeviationMm + 0.3 * Math.Sign((d.Position.X - door.Centre.X) * (d.Position.Z - door.Centre.Z)) })];
            DoorDisplacement found = DoorDisplacement.Fit(deviations, door.Centre)!;
            Assert.True(found.ShapeIsProven);
            Assert.InRange(found.ShapeMm!.Value, 0.15, 0.25);   // 0.3 on half of the readings is 0.21
        });
    }

    [Fact]
    public void The_minimax_level_is_the_least_there_is() => Cases.Each(100, random =>
    {
        Door door = SampleDoor.Make(count: 6 + random.Below(20));
        List<SeamDeviation> deviations = Deviations(door, Planted(random, door.Centre), random, 1);
        DoorDisplacement best = DoorDisplacement.FitMinimax(deviations, door.Centre)!, squares = DoorDisplacement.Fit(deviations, door.Centre)!;
        Assert.True(best.MaxAfterMm < squares.MaxAfterMm);
        // Seven rule a single answer; where several are equally good the shortest of them may lie between two corners.
        Assert.InRange(best.Active.Count, 2, 7);
        Assert.All(best.Active, a => Near.Absolute(a.Sign * best.MaxAfterMm, a.Residual.ResidualMm, 1e-11));
        // No step away from it makes the worst residual smaller.
        for (int i = 0; i < 20; i++)
        {
            SmallDisplacement other = new(best.Displacement.TranslationMm + Small(random, 1e-3), best.Displacement.RotationRad + Small(random, 2e-6), door.Centre);
            Assert.True(deviations.Max(d => Math.Abs(d.DeviationMm - d.Explained(other))) > best.MaxAfterMm - 1e-12);
        }
    });

    [Fact]
    public void An_uncertainty_that_is_not_known_makes_all_readings_count_alike()
    {
        Door door = SampleDoor.Make();
        SmallDisplacement planted = Planted(new SeededRandom(7), door.Centre);
        List<SeamDeviation> deviations = Deviations(door, planted, new SeededRandom(8), 1);
        List<SeamDeviation> one = [.. deviations];
        one[5] = one[5] with { StandardUncertaintyMm = null };
        DoorDisplacement found = DoorDisplacement.Fit(one, door.Centre)!;
        Assert.Equal(DoorDisplacement.Fit([.. deviations.Select(d => d with { StandardUncertaintyMm = null })], door.Centre)!.Displacement, found.Displacement);
        Assert.Null(found.ShapeMm);
        Assert.Null(found.ReducedChiSquare);
        Assert.True(found.IsScaledByScatter);
    }

    // The worked example of METHOD.md.
    [Fact]
    public void The_worked_example_comes_out_as_written()
    {
        Vector3 n = new(0, -1, 0);
        (Point3 P, Vector3 U, double Gap, double Flush)[] read =
        [
            (new(0, 0, -400), new(0, 0, 1), -0.3, -0.4), (new(300, 0, 0), new(-1, 0, 0), -0.4, 0),
            (new(0, 0, 400), new(0, 0, -1), 0.3, 0.4), (new(-300, 0, 0), new(1, 0, 0), 0.4, 0),
        ];
        DoorDisplacement found = DoorDisplacement.Fit([.. read.SelectMany(r => (SeamDeviation[])[
            new("", Characteristic.Gap, r.P, r.U, r.Gap, null), new("", Characteristic.Flush, r.P, n, r.Flush, null)])])!;
        Assert.Equal(5, found.Rank);
        double?[] expected = [0.4, 0, -0.3, 0.001, null, 0];
        for (int i = 0; i < 6; i++)
        {
            Assert.Equal(expected[i] is null, found.Movements[i].Value is null);
            if (expected[i] is double value) Near.Absolute(value, found.Movements[i].Value!.Value, 1e-12);
        }
        Assert.Equal("The readings do not determine turn about y; the displacement shown takes as little of them as it can.", found.UndeterminedWords);
        Assert.InRange(found.MaxAfterMm, 0, 1e-12);
    }

    [Theory]
    [InlineData(double.NaN, 0.05)]
    [InlineData(0.1, 0.0)]
    [InlineData(0.1, -1.0)]
    [InlineData(0.1, double.PositiveInfinity)]
    public void Nonsense_is_refused(double deviation, double uncertainty) =>
        Assert.Throws<ArgumentException>(() => DoorDisplacement.Fit([SeamDeviation.OfGap(SampleDoor.Make().Stations[0], deviation, uncertainty)]));

    private static Vector3 Small(SeededRandom random, double size) => new(random.Normal(0, size), random.Normal(0, size), random.Normal(0, size));

    private static SmallDisplacement Planted(SeededRandom random, Point3 centre) => new(Small(random, 0.5), Small(random, 0.001), centre);

    private static List<SeamDeviation> Deviations(Door door, SmallDisplacement planted, SeededRandom random, double noise)
    {
        List<SeamDeviation> deviations = [];
        foreach (Station s in door.Stations)
        {
            SeamDeviation gap = SeamDeviation.OfGap(s, 0, GapSigma), flush = SeamDeviation.OfFlush(s, 0, FlushSigma);
            deviations.Add(gap with { DeviationMm = gap.Explained(planted) + noise * random.Normal(0, GapSigma) });
            deviations.Add(flush with { DeviationMm = flush.Explained(planted) + noise * random.Normal(0, FlushSigma) });
        }
        return deviations;
    }
}
