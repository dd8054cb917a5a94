using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

/// <summary>Made scans with planted truth, many of them: how wrong gap and flush are, and whether the stated uncertainty says so.</summary>
/// <remarks>By default 160 stations of each kind; GAPFLUSH_SCENES=100 makes it 2000 of each kind. The figures of a large run are in reports/accuracy.md.</remarks>
public class SectionAccuracyTests
{
    private const int Every = 3;

    private static readonly int Scenes = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_SCENES"), out int n) && n > 0 ? n : 8;

    // Bounds of the errors are what was asked of the method; what is asked of the stated uncertainty is that 95 % intervals hold 93 to 98 % of 2000 truths, and that none is wrong by more than five
    // standard uncertainties. Nothing is added to the stated uncertainty by hand: how far passes disagree is found from the points. Fewer stations scatter more, and those of one scene share its
    // passes: four percent more room at 160.
    [Theory]
    [InlineData("clean", 0.004, 0.004)]
    [InlineData("typical", 0.010, 0.008)]
    [InlineData("chamfer", 0.010, 0.008)]
    [InlineData("interleaved", 0.010, 0.008)]
    [InlineData("strips", 0.010, 0.008)]
    [InlineData("sparse", 0.035, 0.025)]
    [InlineData("hidden", 0.06, 0.015)]
    // Not asked of the method in so many words: half of the noise's variance shared over a millimetre, and tape on the surround instead of the door.
    [InlineData("correlated", 0.010, 0.008)]
    [InlineData("taped", 0.010, 0.008)]
    public void Errors_and_intervals_of_made_scans(string kind, double gapRms, double flushRms)
    {
        SceneOptions options = Kind(kind);
        SceneTally tally = new();
        Parallel.For(0, Scenes, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, k => tally.Add(options with { Seed = 9000 + (ulong)k }, Every));
        string line = tally.Line(kind);
        TestContext.Current.SendDiagnosticMessage(line);
        Assert.True(tally.Gap.Count >= 0.98 * tally.Stations && tally.Flush.Count >= 0.98 * tally.Stations, line);
        Assert.True(SceneTally.Rms(tally.Gap) <= gapRms && SceneTally.Rms(tally.Flush) <= flushRms, line);
        double room = Scenes < 100 ? 0.04 : 0;
        foreach (List<(double Error, double U)> values in new[] { tally.Gap, tally.Flush })
        {
            // A hidden wall's draft is taken from what moulds have, the same for all stations of a scene: over few scenes the gap's intervals may hold all.
            double most = kind == "hidden" && Scenes < 100 ? 1 : 0.98 + room;
            Assert.True(SceneTally.Coverage(values) >= 0.93 - room && SceneTally.Coverage(values) <= most, line);
        }
        Assert.True(tally.Beyond(5) == 0, line);
    }

    // Each once read 0.3 to 1.7 mm wrong or was missing: a door that sank 1.2 or 2.3 mm beside its place, with tape, so that its skin or its wall was looked for elsewhere; a hidden return whose
    // radius was taken for twice its size; a radius half hidden all round that was taken for a chamfer.
    [Theory]
    [InlineData("chamfer", 9041)]
    [InlineData("typical", 9041)]
    [InlineData("sparse", 9041)]
    [InlineData("hidden", 9034)]
    [InlineData("hidden", 9052)]
    public void Stations_that_went_astray_are_found(string kind, int seed)
    {
        SceneTally tally = new();
        tally.Add(Kind(kind) with { Seed = (ulong)seed }, Every);
        Assert.Equal(tally.Stations, tally.Gap.Count);
        Assert.True(tally.Beyond(5) == 0, tally.Line(kind));
    }

    // Where tape is seen two and a half times as well as the skin beside it, its end was taken for the door's edge, 1.5 to 2.4 mm off, at a station or two: those are missing now.
    [Theory]
    [InlineData(501)]
    [InlineData(504)]
    public void What_cannot_be_the_edge_is_missing(int seed)
    {
        SceneTally tally = new();
        tally.Add(SceneOptions.Typical with { Seed = (ulong)seed, Thinning = 0.6 }, Every);
        Assert.InRange(tally.Gap.Count, tally.Stations - 2, tally.Stations);
        Assert.True(tally.Beyond(5) == 0, tally.Line("thin"));
    }

    // Smoothed over the whole run, a dent of 0.3 mm and 5 mm width would be read 0.25 mm too small.
    [Theory]
    [InlineData(0.3, 0, 0.04)]
    [InlineData(0, 0.3, 0.025)]
    public void A_local_fault_of_the_edge_is_not_smoothed_away(double dentMm, double stepMm, double rms)
    {
        SceneTally tally = new();
        Parallel.For(0, 4, k => tally.Add(SceneOptions.Typical with { Seed = 60 + (ulong)k, DentMm = dentMm, StepMm = stepMm }, 6));
        Assert.True(SceneTally.Rms(tally.Gap) <= rms, tally.Line("fault"));
        Assert.True(tally.Gap.Count >= 0.9 * tally.Stations, tally.Line("fault"));
        Assert.True(tally.Beyond(4) == 0 && SceneTally.Coverage(tally.Gap) >= 0.9 && SceneTally.Coverage(tally.Flush) >= 0.9, tally.Line("fault"));
    }

    // Narrow seams hide their own walls; a door two millimetres low or high hides one of them.
    [Theory]
    [InlineData(2, 0, 0.6, 2)]
    [InlineData(4, -2, 0.6, 3)]
    [InlineData(9, 2, 1, 4)]
    public void Other_seams_are_wrong_by_no_more_than_five_standard_uncertainties(double gap, double proud, double leastRadius, double mostRadius)
    {
        SceneTally tally = new();
        SceneOptions options = SceneOptions.Typical with { PassSd = 0, Gap = gap, Proud = proud, Radii = (leastRadius, mostRadius), Drafts = (0, 0.087) };
        Parallel.For(0, 4, k => tally.Add(options with { Seed = 60 + (ulong)k }, 6));
        Assert.True(tally.Beyond(5) == 0, tally.Line("seam"));
        Assert.True(tally.Flush.Count >= 0.95 * tally.Stations, tally.Line("seam"));
    }

    [Fact]
    public void The_order_of_points_changes_nothing_that_matters()
    {
        SeamScene scene = new(SceneOptions.Typical with { Seed = 31 });
        Point3[] points = [.. scene.Points(6)];
        IReadOnlyList<StationSection> straight = SceneTally.Sections(scene, points, 6, SeamScene.NominalGap);
        SeededRandom random = new(5);
        for (int i = points.Length - 1; i > 0; i--)
        {
            int j = random.Below(i + 1);
            (points[i], points[j]) = (points[j], points[i]);
        }
        IReadOnlyList<StationSection> shuffled = SceneTally.Sections(scene, points, 6, SeamScene.NominalGap);
        for (int i = 0; i < straight.Count; i++)
        {
            // First looks take every so many points; the fit proper takes all, but for far skin beyond some thousands of points.
            Assert.InRange(Math.Abs(straight[i].GapMm!.Value - shuffled[i].GapMm!.Value), 0, 0.003);
            Assert.InRange(Math.Abs(straight[i].FlushMm!.Value - shuffled[i].FlushMm!.Value), 0, 0.003);
        }
    }

    private static SceneOptions Kind(string kind) => kind switch
    {
        "clean" => SceneOptions.Clean,
        "chamfer" => SceneOptions.Typical with { Chamfer = true },
        "interleaved" => SceneOptions.Typical with { Layout = PassLayout.Interleaved },
        "strips" => SceneOptions.Typical with { Layout = PassLayout.Strips },
        "correlated" => SceneOptions.Typical with { PassSd = 0, SharedNoiseMm = 1 },
        "taped" => SceneOptions.Typical with { TapeOnSurround = true },
        "hidden" => SceneOptions.Hidden,
        "sparse" => SceneOptions.Sparse,
        _ => SceneOptions.Typical,
    };
}
