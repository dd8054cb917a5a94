using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Store;
using GapFlush.Workflows;

namespace GapFlush.Benchmarks.Records;

/// <summary>Where the time of capability over all stations goes, stage by stage: three rounds in one process, the first one cold.</summary>
internal static class CapabilityStages
{
    public static void Print(string address)
    {
        FitPlan plan = MadeReadings.Plan();
        for (int round = 1; round <= 3; round++)
        {
            Console.WriteLine(Invariant($"round {round}"));
            BareReading[] readings = StageClock.Run("read", () =>
            {
                using RecordStore record = RecordStore.Open(address, mayCreate: false);
                return record.BareReadings();
            });
            IReadOnlyList<ValueSeries> series = StageClock.Run("bring to plan, derive", () => ValueSeries.Of(plan, null, readings, null, acrossRevisions: false));
            CapabilityStudy study = StageClock.Run("statistics", () => CapabilityStudy.Of(plan, series, CapabilityScope.Station, null));
            Console.WriteLine(study.Headline);
        }
    }
}
