using System.Globalization;
using GapFlush.Geometry;
using GapFlush.Reference;
using GapFlush.Reference.Geometry;
using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

public class SeamSectionTests
{
    private static readonly SectionParameters Usual = new(5, 5, 20, 5);

    // Closed forms worked out in 60 digits by a script that shares nothing with the project: fixtures/reference/geometry, group sections.
    [Fact]
    public void Every_definition_matches_the_closed_forms()
    {
        ReferenceFolder folder = new(Fixture.At("reference", "geometry"));
        ReferenceOutput output = new(folder.ExpectedKeys());
        new SectionsGroup().Compute(folder, output);
        int compared = 0;
        foreach (string file in new[] { "expected.csv", "overlap_expected.csv" })
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows("sections", file))
            {
                string found = output.Values[("sections", row["case"], row["quantity"])];
                if (double.TryParse(row["value"], CultureInfo.InvariantCulture, out double expected))
                    Near.Absolute(expected, double.Parse(found, CultureInfo.InvariantCulture), 1e-9);   // seen: 1.3e-13
                else
                    Assert.Equal(row["value"], found);
                compared++;
            }
        }
        Assert.Equal(332, compared);
    }

    [Fact]
    public void Definitions_do_not_change_when_the_section_is_turned_and_shifted() => Cases.Each(200, random =>
    {
        (SideProfile s, SideProfile d) = (Some(random), Some(random));
        Point2 corner = new(random.Between(2.5, 6), random.Between(-1, 1));
        double tilt = random.Between(-0.06, 0.06), turn = random.Between(-Math.PI, Math.PI);
        Point2 shift = new(random.Between(-3000, 3000), random.Between(-3000, 3000));
        SeamSection plain = new(Outline.Place(s, false, default, 0), Outline.Place(d, true, corner, tilt), Usual);
        SeamSection moved = new(Outline.Place(s, false, shift, turn), Outline.Place(d, true, corner.TurnedBy(turn) + shift, tilt + turn), Usual);
        // 3000 mm rounds at 5e-13; a skin radius of 1e4 mm multiplies that in F5 and in the edge point where the wall leans little.
        Near.Absolute(plain.NearestMm, moved.NearestMm, 1e-9);
        Near.Absolute(plain.EdgeMm!.Value, moved.EdgeMm!.Value, 1e-9);
        Near.Absolute(plain.AtDepthMm(3)!.Value, moved.AtDepthMm(3)!.Value, 1e-9);
        Near.Absolute(plain.TwoFootMm!.Value, moved.TwoFootMm!.Value, 1e-9);
        Near.Absolute(plain.MidGapMm!.Value, moved.MidGapMm!.Value, 1e-9);
        Near.Absolute(plain.CurveCarriedMm!.Value, moved.CurveCarriedMm!.Value, 1e-9);
    });

    // Worked example of METHOD.md.
    [Fact]
    public void Unequal_radii_part_the_skin_end_gap_from_the_corner_gap()
    {
        SeamSection section = new(Outline.Place(Straight(0.5), false, default, 0), Outline.Place(Straight(2), true, new(4, 0.6), 0), Usual);
        Near.Absolute(4, section.CornerGapMm, 1e-12);
        Near.Absolute(4, section.EdgeMm!.Value, 1e-12);
        Near.Absolute(6.5, section.SkinEndGapMm, 1e-12);
        Near.Absolute(0.6, section.MidGapMm!.Value, 1e-12);
    }

    [Fact]
    public void A_depth_that_a_wall_does_not_reach_has_no_gap() =>
        Assert.Null(new SeamSection(Outline.Place(Straight(1), false, default, 0), Outline.Place(Straight(1), true, new(4, 0), 0), Usual).AtDepthMm(9));

    [Fact]
    public void A_plunger_beyond_the_end_of_the_skin_reads_nothing()
    {
        SeamSection section = new(Outline.Place(Straight(1), false, default, 0), Outline.Place(Straight(1), true, new(4, 0), 0), Usual with { SetBackMm = 40, FarFootMm = 20 });
        Assert.Null(section.TwoFootMm);
        Assert.Null(section.CurveCarriedMm);
        Assert.NotNull(section.MidGapMm);
    }

    [Fact]
    public void A_radius_that_fits_nowhere_is_refused() =>
        Assert.Throws<ArgumentException>(() => Outline.Place(new SideProfile(EdgeBreak.Radius(20), 0, 1 / 30.0, 32, 30), false, default, 0));

    private static SideProfile Straight(double radius) => new(EdgeBreak.Radius(radius), 0, 0, 32, 8);

    private static SideProfile Some(GapFlush.Numerics.SeededRandom random) => new(
        random.Unit() < 0.3 ? EdgeBreak.Chamfer(random.Between(0.3, 1.5), random.Between(0.3, 1.5)) : EdgeBreak.Radius(random.Between(0, 2)),
        random.Between(-0.1, 0.1), random.Between(-1, 1) / 300, 32, 8);
}
