using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Toolchains.InProcess.Emit;

namespace GapFlush.Benchmarks;

/// <summary>Every benchmark in this one process, a warm-up and then three rounds: what takes seconds needs no more, and what is made for it is made once.</summary>
internal sealed class OneProcess : ManualConfig
{
    public OneProcess() => AddJob(Job.Dry.WithToolchain(InProcessEmitToolchain.Instance).WithWarmupCount(1).WithIterationCount(3));
}
