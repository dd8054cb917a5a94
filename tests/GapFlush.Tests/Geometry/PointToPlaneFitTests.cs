using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Geometry;

public class PointToPlaneFitTests
{
    [Fact]
    public void A_planted_motion_is_undone_exactly() => Cases.Each(100, random =>
    {
        Door door = SampleDoor.Make(16);
        Vector3 rotation = Small(random, 0.2), shift = Small(random, 20);   // far beyond small angles
        RigidMotion planted = RigidMotion.About(door.Centre, rotation, shift);
        (Point3[] places, Vector3[] normals) = Planes(door);
        // Points lie on the planes, then the part is moved as planted.
        Point3[] moved = [.. places.Select(planted.Of)];
        foreach (PointToPlaneFit? fit in (PointToPlaneFit?[])[PointToPlaneFit.Fit(moved, places, normals, door.Centre, 500), PointToPlaneFit.FitMinimax(moved, places, normals, door.Centre, 500)])
        {
            Assert.NotNull(fit);
            Assert.Equal(6, fit.Rank);
            Assert.InRange(fit.MaxMm, 0, 1e-9);
            for (int i = 0; i < places.Length; i++) Near.Absolute(0, fit.Motion.Of(moved[i]).DistanceTo(places[i]), 1e-8);
        }
    });

    [Fact]
    public void Skin_alone_leaves_motions_within_it_open()
    {
        Door flat = SampleDoor.Make(16, barrelMm: double.PositiveInfinity);
        Point3[] places = [.. flat.Stations.Select(s => s.Position)];
        Vector3[] normals = [.. flat.Stations.Select(s => s.Normal)];
        PointToPlaneFit fit = PointToPlaneFit.Fit([.. places.Select(p => p + new Vector3(0, 0.5, 0))], places, normals, flat.Centre, 500)!;
        Assert.Equal(3, fit.Rank);
        Assert.True(double.IsInfinity(fit.Condition));
        Near.Absolute(-0.5, fit.ShiftMm.Y, 1e-12);
        Near.Absolute(0, fit.ShiftMm.X, 1e-12);
        Assert.Null(PointToPlaneFit.Fit([], [], [], default, 500));
    }

    [Fact]
    public void The_minimax_is_never_worse_than_least_squares_at_its_worst_point() => Cases.Each(50, random =>
    {
        Door door = SampleDoor.Make(16);
        (Point3[] places, Vector3[] normals) = Planes(door);
        Point3[] measured = [.. places.Select(p => p + Small(random, 0.05))];
        Assert.True(PointToPlaneFit.FitMinimax(measured, places, normals, door.Centre, 500)!.MaxMm < PointToPlaneFit.Fit(measured, places, normals, door.Centre, 500)!.MaxMm);
    });

    [Fact]
    public void Lists_that_do_not_match_and_normals_without_direction_are_refused()
    {
        Assert.Throws<ArgumentException>(() => PointToPlaneFit.Fit([default], [], [], default, 500));
        Assert.Throws<ArgumentException>(() => PointToPlaneFit.Fit([default], [default], [default], default, 500));
    }

    private static (Point3[] Places, Vector3[] Normals) Planes(Door door) =>
        ([.. door.Stations.SelectMany(s => (Point3[])[s.Position, s.Position])], [.. door.Stations.SelectMany(s => (Vector3[])[s.Normal, -s.IntoDoor])]);

    private static Vector3 Small(SeededRandom random, double size) => new(random.Normal(0, size), random.Normal(0, size), random.Normal(0, size));
}
