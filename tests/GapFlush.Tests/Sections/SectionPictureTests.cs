using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

public class SectionPictureTests
{
    private static readonly Door Door = new SeamScene(new()).Door;

    public static TheoryData<GapKind, FlushKind> Definitions =>
        new() { { GapKind.Nearest, FlushKind.TwoFoot }, { GapKind.Edge, FlushKind.MidGap }, { GapKind.Depth, FlushKind.SkinEnd }, { GapKind.Corner, FlushKind.Corner }, { GapKind.SkinEnd, FlushKind.CurveCarried } };

    // What stands between the arrows must be the value beside them, under every definition.
    [Theory]
    [MemberData(nameof(Definitions))]
    public void The_dimensions_drawn_are_the_values_stated(GapKind gap, FlushKind flush)
    {
        Door door = Door with { GapDefinition = new(gap, gap is GapKind.Depth or GapKind.Edge ? 4 : null), FlushDefinition = new(flush, null, null, null) };
        Outline surround = Outline.Place(new(EdgeBreak.Radius(0.9), 0.03, 0.0011, 30, 9), false, new(-2.3, 0.1), 0.004), moving = Outline.Place(new(EdgeBreak.Chamfer(1.1, 0.8), 0.05, 0.0013, 30, 9), true, new(2.4, -0.3), -0.02);
        SeamSection cut = new(surround, moving, SectionParameters.Of(door) with { EdgeDepthMm = Math.Min(8, SectionParameters.Of(door).EdgeDepthMm) });
        StationSection section = new() { Station = door.Stations[0], GapMm = cut.Gap(door.GapDefinition), FlushMm = cut.Flush(door.FlushDefinition), Surround = surround, Door = moving, NoiseMm = (0.02, 0.02) };
        SectionPicture picture = SectionPicture.Of(door, section, 4.4);
        Near.Absolute(section.GapMm!.Value, picture.Gap!.ValueMm, 1e-9);
        Near.Absolute(section.FlushMm!.Value, picture.Flush!.ValueMm, 1e-9);
        Near.Absolute(1, picture.Gap.Along.Length, 1e-12);
        // Nothing of the way lies beside the arrow.
        Near.Absolute(0, (picture.Flush.To - picture.Flush.From).Cross(picture.Flush.Along), flush is FlushKind.SkinEnd or FlushKind.Corner ? 20 : 1e-9);
    }

    [Fact]
    public void Points_are_told_apart_and_courses_follow_the_outlines()
    {
        Outline surround = Outline.Place(new(EdgeBreak.Radius(1), 0, 0, 30, 9), false, new(-2, 0), 0), moving = Outline.Place(new(EdgeBreak.Radius(1), 0, 0, 30, 9), true, new(2, 0), 0);
        StationSection section = new() { Station = Door.Stations[0], GapMm = 4, FlushMm = 0, Surround = surround, Door = moving, NoiseMm = (0.02, 0.05), Shown = [(-10, 0.05f), (10, 0.15f), (-10, 0.1f), (10, 0.2f), (0, -2)] };
        SectionPicture picture = SectionPicture.Of(Door, section, 4.4);
        Assert.Equal([SectionPointRole.Surround, SectionPointRole.Door, SectionPointRole.SetAside, SectionPointRole.SetAside, SectionPointRole.SetAside], picture.Points.Select(p => p.Role));
        Assert.All(picture.Surround, p => Near.Absolute(0, p.DistanceTo(surround.NearestTo(p)), 1e-9));
        // Each side has two points: their surroundings are seen, all else is the shape's word alone. Runs follow on one another and lose nothing.
        foreach ((IReadOnlyList<Point2> course, double at) in new[] { (picture.Surround, -10.0), (picture.Door, 10) })
        {
            (IReadOnlyList<Point2> Course, bool IsSeen)[] runs = [.. picture.Runs.Where(r => r.Course[0].X * at > 0)];
            Assert.Equal([false, true, false], runs.Select(r => r.IsSeen));
            Assert.Equal((course[0], course[^1]), (runs[0].Course[0], runs[^1].Course[^1]));
            Assert.Equal((runs[0].Course[^1], runs[1].Course[^1]), (runs[1].Course[0], runs[2].Course[0]));
            Assert.All(runs[1].Course, p => Assert.InRange(p.DistanceTo(new(at, 0)), 0, 1.8));
        }
        Assert.Equal(new Point2(-2, -9), new Point2(Math.Round(picture.Surround[^1].X, 9), Math.Round(picture.Surround[^1].Y, 9)));
    }
}
