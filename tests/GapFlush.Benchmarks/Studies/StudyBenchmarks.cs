using BenchmarkDotNet.Attributes;
using GapFlush.Benchmarks.Records;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Store;
using GapFlush.Workflows;

namespace GapFlush.Benchmarks.Studies;

/// <summary>The studies over builds of the example plan, two revisions of the door mould, gap, flush and land gap at all 150 stations: 90 000 readings of 200 builds. Beside them, in the
/// same run, the same rows read from a record, and plain mean and standard deviation of every series.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class StudyBenchmarks
{
    private const int ReadingsOfABuild = 450;

    private readonly string _folder = Directory.CreateTempSubdirectory("gapflush-studies-").FullName;
    private FitPlan _plan = null!;
    private IReadOnlyList<Reading> _readings = null!, _gaugeReadings = null!;
    private string _record = "";

    /// <summary>Builds.</summary>
    [Params(200)]
    public int Builds { get; set; }

    /// <summary>Makes the readings, and a record that holds them.</summary>
    [GlobalSetup]
    public void Setup()
    {
        FitPlan plan = MadeReadings.Plan();
        var log = MadeReadings.Log(plan, Builds * ReadingsOfABuild);
        string[] builds = [.. log.Readings.Select(r => r.Build).Distinct()];
        _plan = plan with { Builds = [.. builds.SelectMany((b, i) => plan.Doors.Select(d => new BuildEntry(b, i + 1, d.Code, i < Builds / 2 ? "B" : "C", "A", i + 1, null)))] };
        _readings = log.Readings;
        _gaugeReadings = GaugeReadings(log.Readings);
        _record = Path.Combine(_folder, "studies.sqlite");
        MadeReadings.Add(_record, log, plan);
    }

    /// <summary>For comparison: mean and standard deviation of every series of the readings in memory, nothing corrected or derived.</summary>
    [Benchmark(Baseline = true)]
    public double Plain_mean_and_sd()
    {
        double sum = 0;
        foreach (var series in _readings.GroupBy(r => (r.Door, r.Station, r.Characteristic, r.Stage)))
        {
            double[] values = [.. series.Select(r => r.Value)];
            double mean = values.Average();
            sum += mean + Math.Sqrt(values.Sum(v => (v - mean) * (v - mean)) / (values.Length - 1));
        }
        return sum;
    }

    /// <summary>For comparison: the same rows out of a record in SQLite, nothing done with them.</summary>
    [Benchmark]
    public int Rows_read_from_SQLite()
    {
        using RecordStore record = RecordStore.Open(_record, mayCreate: false);
        return record.Readings().Count;
    }

    /// <summary>Capability of every station and all that is derived, read from the record as the command does.</summary>
    [Benchmark]
    public int Capability_from_SQLite()
    {
        using RecordStore record = RecordStore.Open(_record, mayCreate: false);
        return CapabilityStudy.OfReadings(_plan, null, record.BareReadings()).Lines.Count;
    }

    /// <summary>Capability by zone of readings in memory.</summary>
    [Benchmark]
    public int Capability_by_zone() => CapabilityStudy.OfReadings(_plan, null, _readings, CapabilityScope.Zone).Lines.Count;

    /// <summary>Charts, change points and trends of every series.</summary>
    [Benchmark]
    public int Trend() => TrendStudy.Run(_plan, ManyBuilds.Measure(_plan, null, _readings)).Lines.Count;

    /// <summary>What the revision of one door's mould changed, no reading doubted: what is made at random lies about no door that could be.</summary>
    [Benchmark]
    public int Revisions() => RevisionStudy.Run(_plan, ManyBuilds.Measure(_plan, null, _readings), "P1").Value.Changes.Count;

    /// <summary>Gap and flush at 150 places of each of 10 builds, read three times by each of three inspectors: 27 000 readings.</summary>
    [Benchmark]
    public int Gauge_study() => GaugeStudyRun.Run(_plan, _gaugeReadings).Lines.Count;

    /// <summary>Clears up.</summary>
    [GlobalCleanup]
    public void Cleanup() => Directory.Delete(_folder, recursive: true);

    private static IReadOnlyList<Reading> GaugeReadings(IReadOnlyList<Reading> readings)
    {
        SeededRandom random = new(2);
        return [.. readings.Take(10 * ReadingsOfABuild).Where(r => r.Characteristic != Characteristic.LandGap)
            .SelectMany(r => Enumerable.Range(0, 9).Select(i => r with { Inspector = $"inspector {i / 3}", Repeat = i % 3 + 1, Value = r.Value + 0.01 * (i / 3) + random.Normal(0, 0.02) }))];
    }
}
