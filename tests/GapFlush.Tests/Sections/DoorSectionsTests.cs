using GapFlush.Geometry;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

public class DoorSectionsTests
{
    // Planted truth: the exact section of the outlines that were swept. Bounds: what an honest fit of a 3 mm slab reaches is 0.014 and 0.010 on typical scenes.
    // Ten stations of a scene; seen over twenty: clean 0.0019 and 0.0017, typical 0.0054 and 0.0029, sparse 0.026 and 0.026,
    // the surround's return hidden from every pass 0.014 and 0.004.
    [Theory]
    [InlineData("clean", 0.004, 0.004)]
    [InlineData("typical", 0.010, 0.008)]
    [InlineData("sparse", 0.045, 0.040)]
    [InlineData("hidden", 0.06, 0.015)]
    public void Gap_and_flush_of_made_scans_are_recovered_within_their_stated_uncertainty(string kind, double gapRms, double flushRms)
    {
        SceneOptions options = kind switch { "clean" => SceneOptions.Clean, "typical" => SceneOptions.Typical, "hidden" => SceneOptions.Hidden, _ => SceneOptions.Sparse };
        SeamScene scene = new(options with { Seed = 100 });
        const int Every = 6;
        int[] ids = [.. Enumerable.Range(0, scene.Door.Stations.Count).Where(i => i % Every == 0)];
        SectionOptions how = new();
        StationSlab[] slabs = [.. ids.Select(i => new StationSlab(scene.Door, i, SeamScene.NominalGap, 0, how))];
        SlabCollector collector = new(slabs, RigidMotion.None, 1);
        double[] one = new double[3];
        foreach (Point3 p in scene.Points(Every))
        {
            (one[0], one[1], one[2]) = (p.X, p.Y, p.Z);
            collector.Add(one);
        }
        IReadOnlyList<StationSection> sections = DoorSections.Take(scene.Door, slabs, how, null, 0);
        List<double> gap = [], flush = [];
        for (int k = 0; k < ids.Length; k++)
        {
            StationSection s = sections[k];
            Assert.True(s.Reason is null, $"{s.Station.Name}: {s.Reason}");
            gap.Add(s.GapMm!.Value - scene.Truth[ids[k]].Gap);
            flush.Add(s.FlushMm!.Value - scene.Truth[ids[k]].Flush);
            Assert.InRange(Math.Abs(gap[^1]), 0, 5 * s.GapUncertaintyMm!.Value);
            Assert.InRange(Math.Abs(flush[^1]), 0, 5 * s.FlushUncertaintyMm!.Value);
        }
        Assert.InRange(Math.Sqrt(gap.Average(v => v * v)), 0, gapRms);
        Assert.InRange(Math.Sqrt(flush.Average(v => v * v)), 0, flushRms);
    }
}
