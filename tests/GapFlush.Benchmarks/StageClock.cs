using System.Diagnostics;

namespace GapFlush.Benchmarks;

/// <summary>Prints how long one stage of a work took: on the clock, of the processor, and collecting garbage.</summary>
internal static class StageClock
{
    /// <summary>Runs a stage and prints its line.</summary>
    public static T Run<T>(string name, Func<T> stage)
    {
        (TimeSpan cpu, TimeSpan paused, Stopwatch clock) = (Process.GetCurrentProcess().TotalProcessorTime, GC.GetTotalPauseDuration(), Stopwatch.StartNew());
        T result = stage();
        Console.WriteLine(Invariant($"{name,-24} {clock.Elapsed.TotalSeconds,7:0.000} s wall {(Process.GetCurrentProcess().TotalProcessorTime - cpu).TotalSeconds,7:0.000} s processor {(GC.GetTotalPauseDuration() - paused).TotalSeconds,7:0.000} s paused for garbage"));
        return result;
    }
}
