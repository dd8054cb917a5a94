using GapFlush.Geometry;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Tests.Sections;

/// <summary>How wrong the sections of made scans are, and what they state of it.</summary>
internal sealed class SceneTally
{
    private readonly Lock _lock = new();
    private readonly List<(double InU, string Words)> _stations = [];

    public List<(double Error, double U)> Gap { get; } = [];

    public List<(double Error, double U)> Flush { get; } = [];

    public int Stations { get; private set; }

    /// <summary>The stations that are the most wrong in stated standard uncertainties, in words.</summary>
    public IEnumerable<string> Worst(int count) => _stations.OrderByDescending(s => s.InU).Take(count).Select(s => s.Words);

    public static IReadOnlyList<StationSection> Sections(SeamScene scene, IEnumerable<Point3> points, int every, double gap)
    {
        SectionOptions how = new();
        StationSlab[] slabs = [.. Enumerable.Range(0, scene.Door.Stations.Count).Where(i => i % every == 0).Select(i => new StationSlab(scene.Door, i, gap, 0, how))];
        SlabCollector collector = new(slabs, RigidMotion.None, 1);
        double[] block = new double[3 * 4096];
        int filled = 0;
        foreach (Point3 p in points)
        {
            (block[filled], block[filled + 1], block[filled + 2]) = (p.X, p.Y, p.Z);
            filled += 3;
            if (filled < block.Length) continue;
            collector.Add(block);
            filled = 0;
        }
        collector.Add(block.AsSpan(0, filled));
        return DoorSections.Take(scene.Door, slabs, how, null, 0);
    }

    public void Add(SceneOptions options, int every)
    {
        SeamScene scene = new(options);
        IReadOnlyList<StationSection> sections = Sections(scene, scene.Points(every), every, options.Gap);
        lock (_lock)
        {
            for (int i = 0; i < sections.Count; i++)
            {
                (double gap, double flush) = scene.Truth[i * every];
                Stations++;
                StationSection q = sections[i];
                double gapInU = (q.GapMm - gap) / q.GapUncertaintyMm ?? 0, flushInU = (q.FlushMm - flush) / q.FlushUncertaintyMm ?? 0;
                _stations.Add((Math.Max(Math.Abs(gapInU), Math.Abs(flushInU)), Invariant($"seed {options.Seed}, station {i * every}: gap {q.GapMm - gap:0.000} ({gapInU:0.0} u), flush {q.FlushMm - flush:0.000} ({flushInU:0.0} u) {q.Reason}")));
                if (sections[i].GapMm is double g) Gap.Add((g - gap, sections[i].GapUncertaintyMm!.Value));
                if (sections[i].FlushMm is double f) Flush.Add((f - flush, sections[i].FlushUncertaintyMm!.Value));
            }
        }
    }

    public static double Rms(List<(double Error, double U)> values) => Math.Sqrt(values.Average(v => v.Error * v.Error));

    public static double Coverage(List<(double Error, double U)> values) => values.Average(v => Math.Abs(v.Error) <= 1.96 * v.U ? 1 : 0);

    public int Beyond(double times) => Gap.Count(v => Math.Abs(v.Error) > times * v.U) + Flush.Count(v => Math.Abs(v.Error) > times * v.U);

    public string Line(string kind) => Invariant($"{kind}: {Stations} stations, gap {One(Gap)}, flush {One(Flush)}");

    private static string One(List<(double Error, double U)> values) => values.Count == 0 ? "none"
        : Invariant($"{values.Count} rms {Rms(values):0.0000} bias {values.Average(v => v.Error):0.0000} largest {values.Max(v => Math.Abs(v.Error)):0.000} in u {values.Max(v => Math.Abs(v.Error) / v.U):0.0} coverage {100 * Coverage(values):0.0} %");
}
