using BenchmarkDotNet.Attributes;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Workflows;

namespace GapFlush.Benchmarks.Records;

/// <summary>What is timed alike on either database: a filled record read back, verified, and capability over all its stations.</summary>
public abstract class FilledRecord
{
    private protected FitPlan _plan = null!;
    private protected ReadingLog _log = null!;
    private string _filled = "";

    /// <summary>Rows.</summary>
    [Params(1_000_000)]
    public int Rows { get; set; }

    /// <summary>Makes the readings, and a record that holds them.</summary>
    [GlobalSetup]
    public void Setup()
    {
        _plan = MadeReadings.Plan();
        _log = MadeReadings.Log(_plan, Rows);
        _filled = NewRecord();
        MadeReadings.Add(_filled, _log, _plan);
    }

    /// <summary>Added to a new record: keys looked up, chained, committed to disk.</summary>
    [Benchmark]
    public long Add() => MadeReadings.Add(NewRecord(), _log, _plan);

    /// <summary>Read back, corrections applied.</summary>
    [Benchmark]
    public int Read()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return record.Readings().Count;
    }

    /// <summary>Every link reckoned anew.</summary>
    [Benchmark]
    public bool Verify()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return record.Verify().IsWhole;
    }

    /// <summary>Read back, brought to plan conditions, and capability of every station and characteristic.</summary>
    [Benchmark]
    public int Capability_over_all_stations()
    {
        using RecordStore record = RecordStore.Open(_filled, mayCreate: false);
        return CapabilityStudy.OfReadings(_plan, null, record.BareReadings()).Lines.Count;
    }

    /// <summary>Where a new record may be made.</summary>
    private protected abstract string NewRecord();
}
