using BenchmarkDotNet.Attributes;
using GapFlush.Inputs;
using GapFlush.Scans;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Benchmarks.Scans;

/// <summary>A made scan as binary PLY: reading alone, and read, registered without targets and cut at 60 stations.</summary>
[MemoryDiagnoser]
[Config(typeof(OneProcess))]
public class ScanBenchmarks
{
    private string _folder = "";
    private InputFile _file = null!;
    private SeamScene _scene = null!;

    /// <summary>About how many points the scan has.</summary>
    [Params(1_000_000, 10_000_000)]
    public int Points { get; set; }

    /// <summary>Writes the scan.</summary>
    [GlobalSetup]
    public void Write()
    {
        _folder = Directory.CreateTempSubdirectory("gapflush-scan-").FullName;
        _scene = MadeScan.Scene(Points);
        string path = MadeScan.Write(_folder, Points, asText: false);
        _file = new(path, () => File.OpenRead(path));
    }

    /// <summary>Takes it away again.</summary>
    [GlobalCleanup]
    public void Delete() => Directory.Delete(_folder, recursive: true);

    /// <summary>Every point, summed.</summary>
    [Benchmark(Baseline = true)]
    public double Read_alone()
    {
        double sum = 0;
        ScanReader.Read(_file, block =>
        {
            for (int i = 0; i < block.Length; i++) sum += block[i];
        });
        return sum;
    }

    /// <summary>The whole of the section command without the process around it.</summary>
    [Benchmark]
    public int Read_register_section() => ScanSectioning.Run(_scene.Plan, _scene.Door, _file, new ScanRequest()).Value.Stations.Count;
}
