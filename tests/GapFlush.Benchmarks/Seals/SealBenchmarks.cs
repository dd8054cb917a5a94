using BenchmarkDotNet.Attributes;
using GapFlush.Numerics;
using GapFlush.Seals;

namespace GapFlush.Benchmarks.Seals;

/// <summary>How long the seal of one door takes: 150 stations round 2.7 m, with two leak runs and a load curve of five points.</summary>
[ShortRunJob]
public class SealBenchmarks
{
    private const double PerimeterMm = 2700;
    private SealStation[] _stations = [];
    private SealLoadCurve _curve = null!;

    /// <summary>Makes the stations.</summary>
    [GlobalSetup]
    public void Make()
    {
        _curve = new("seal", [(0, 0), (15, 18), (30, 52), (45, 120), (60, 260)]);
        SeededRandom random = new(1);
        _stations = [.. Enumerable.Range(0, 150).Select(i => new SealStation(Invariant($"{i + 1}"), PerimeterMm * i / 150, (i is > 20 and < 26 or > 90 and < 93 ? 12 : 30) + 3 * random.Normal(), 20, 50, _curve, 0.3, 0.2))];
    }

    /// <summary>Lengths, means, leak runs both ways, closing load with its uncertainty.</summary>
    [Benchmark]
    public SealRing Once_round_the_door() => SealRing.Trace(_stations, PerimeterMm);

    /// <summary>For comparison: the load at the stations, summed as trapezia, with no leak run and no uncertainty.</summary>
    [Benchmark(Baseline = true)]
    public double Plain_trapezia()
    {
        double load = 0;
        for (int i = 0; i < _stations.Length; i++)
        {
            SealStation a = _stations[i], b = _stations[(i + 1) % _stations.Length];
            double length = i + 1 < _stations.Length ? b.AlongMm - a.AlongMm : PerimeterMm - a.AlongMm;
            load += (_curve.LoadNPerM(a.CompressionPercent!.Value) + _curve.LoadNPerM(b.CompressionPercent!.Value)) / 2 * length / 1000;
        }
        return load;
    }
}
