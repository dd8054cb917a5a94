using BenchmarkDotNet.Attributes;
using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Workflows;

namespace GapFlush.Benchmarks.Drains;

/// <summary>Channels times attitudes: exact ponds against a raster flood, the worst attitude, and a whole drain check of the demo.</summary>
[MemoryDiagnoser]
public class DrainBenchmarks
{
    private const int Cells = 4000;
    private readonly FitPlan _plan;
    private readonly LevelLog _levels;
    private readonly FloorNetwork[] _networks;
    private readonly Attitude[] _attitudes = [.. Enumerable.Range(0, 25).Select(i => new Attitude($"a{i}", -4 + 2 * (i / 5), -4 + 2 * (i % 5)))];

    /// <summary>Reads the demo.</summary>
    public DrainBenchmarks()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !Directory.Exists(Path.Combine(at.FullName, "fixtures", "dabchick"))) at = at.Parent;
        string demo = Path.Combine(at!.FullName, "fixtures", "dabchick");
        _plan = PlanReader.Read([.. Directory.EnumerateFiles(demo).Select(f => new InputFile(Path.GetFileName(f), () => File.OpenRead(f)))]).Value;
        _levels = LevelsReader.Read(new("D4-021.csv", () => File.OpenRead(Path.Combine(demo, "levels", "D4-021.csv"))), _plan).Value;
        _networks = [.. _plan.Channels.Select(c => new FloorNetwork([MeasuredFloors.Of(c, _levels, AircraftAxes.Usual)!]))];
    }

    /// <summary>Ponds as the library finds them: 5 channels of 80 points, 25 attitudes.</summary>
    [Benchmark(Baseline = true)]
    public double Ponds_5_channels_25_attitudes() => _networks.Sum(n => _attitudes.Sum(a => n.In(a).Channels[0].PondVolumeMl ?? 0));

    /// <summary>The same by a raster of 4000 cells a channel, levels lowered by sweeps until nothing changes.</summary>
    [Benchmark]
    public double Raster_flood_5_channels_25_attitudes() => _networks.Sum(n => _attitudes.Sum(a => Raster(n.Floors[0], UpVector.For(a))));

    /// <summary>Deepest water anywhere between the attitudes, proven: 5 channels.</summary>
    [Benchmark]
    public double Worst_depth_5_channels() => _networks.Sum(n => WorstAttitude.ForDepth(n, 0, AttitudeBox.Around(_plan.Attitudes))!.Value);

    /// <summary>Most water anywhere between the attitudes, proven: 5 channels.</summary>
    [Benchmark]
    public double Worst_volume_5_channels() => _networks.Sum(n => WorstAttitude.ForVolume(n, 0, AttitudeBox.Around(_plan.Attitudes))!.Value);

    /// <summary>Least slope anywhere between the attitudes, exact: 5 channels.</summary>
    [Benchmark]
    public double Worst_slope_5_channels() => _networks.Sum(n => WorstAttitude.ForSlope(n, 0, AttitudeBox.Around(_plan.Attitudes))!.Value.Fall.Slope.Percent);

    /// <summary>The grid of an attitude chart: 29 by 29 attitudes of the sagging sill.</summary>
    [Benchmark]
    public int Attitude_map_1_channel_841_attitudes() => AttitudeMap.Of(_networks[3], 0, new(-4, 5, -4, 4)).Cells.Count;

    /// <summary>The whole drain check: slopes, ponds, flow, worst attitudes; 5 channels, 5 attitudes.</summary>
    [Benchmark]
    public int Drain_5_channels_5_attitudes() => DrainPlan.Run(_plan, _levels, "D4-021").Value.Rows.Count;

    private static double Raster(ChannelFloor floor, Vector3 up)
    {
        IReadOnlyList<FloorPoint> points = floor.Points;
        double[] z = [.. points.Select(p => (p.Position - points[0].Position).Dot(up))], x = new double[z.Length];
        for (int i = 1; i < z.Length; i++) x[i] = x[i - 1] + (points[i].Position - points[i - 1].Position).Cross(up).Length;
        double cell = x[^1] / Cells;
        double[] bottom = new double[Cells], own = new double[Cells], level = new double[Cells];
        for (int c = 0, i = 1; c < Cells; c++)
        {
            double at = (c + 0.5) * cell;
            while (x[i] < at) i++;
            bottom[c] = z[i - 1] + (z[i] - z[i - 1]) * (at - x[i - 1]) / (x[i] - x[i - 1]);
            own[c] = floor.LipMm(i - 1) is double lip ? bottom[c] + lip * up.Z : double.PositiveInfinity;
            level[c] = double.PositiveInfinity;
        }
        for (int i = 0; i < z.Length; i++)
        {
            if (points[i].IsOutlet) own[Math.Clamp((int)(x[i] / cell), 0, Cells - 1)] = z[i];
        }
        for (bool changed = true; changed;)
        {
            changed = false;
            for (int k = 0; k < 2 * Cells; k++)
            {
                int c = k < Cells ? k : 2 * Cells - 1 - k;
                double beside = Math.Min(c > 0 ? level[c - 1] : double.PositiveInfinity, c < Cells - 1 ? level[c + 1] : double.PositiveInfinity);
                double lowered = Math.Max(bottom[c], Math.Min(own[c], beside));
                if (lowered < level[c]) (level[c], changed) = (lowered, true);
            }
        }
        ChannelSection section = ChannelSection.For(points[0].Plan, out _)!;
        double volume = 0;
        for (int c = 0; c < Cells; c++)
        {
            if (level[c] > bottom[c]) volume += section.Area(level[c] - bottom[c]) * cell;
        }
        return volume / 1000;
    }
}
