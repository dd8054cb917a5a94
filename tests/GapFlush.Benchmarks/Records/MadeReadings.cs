using System.Globalization;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Store;

namespace GapFlush.Benchmarks.Records;

/// <summary>Readings of as many builds as are asked for: gap, flush and land gap at every station of the example plan, normal about a mean.</summary>
internal static class MadeReadings
{
    private static readonly (Characteristic What, double Mean)[] Read = [(Characteristic.Gap, 4.8), (Characteristic.Flush, -0.3), (Characteristic.LandGap, 4.7)];

    /// <summary>The folder of the example.</summary>
    public static string ExampleFolder()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !Directory.Exists(Path.Combine(at.FullName, "fixtures", "dabchick"))) at = at.Parent;
        return Path.Combine((at ?? throw new DirectoryNotFoundException("There is no fixtures/dabchick above the benchmarks.")).FullName, "fixtures", "dabchick");
    }

    /// <summary>The example plan.</summary>
    public static FitPlan Plan() => PlanReader.Read([.. Directory.EnumerateFiles(ExampleFolder()).Select(f => new InputFile(Path.GetFileName(f), () => File.OpenRead(f)))]).Value;

    /// <summary>So many readings, build after build.</summary>
    public static ReadingLog Log(FitPlan plan, int rows)
    {
        SeededRandom random = new(1);
        List<Reading> readings = new(rows);
        for (int build = 0; readings.Count < rows; build++)
        {
            string name = Invariant($"X{build:00000}");
            foreach ((Door door, Station station, Characteristic characteristic, double mean) in plan.Doors.SelectMany(d => d.Stations.SelectMany(s => Read.Select(w => (d, s, w.What, w.Mean)))))
            {
                if (readings.Count == rows) break;
                double value = Math.Round(mean + random.Normal(0, 0.1), 2);
                readings.Add(new()
                {
                    Build = name,
                    Door = door.Code,
                    Station = station.Name,
                    Characteristic = characteristic,
                    Value = value,
                    WrittenValue = value.ToString("0.00", CultureInfo.InvariantCulture),
                    WrittenUnit = "mm",
                    WrittenDecimals = 2,
                    Gauge = "TG-11",
                    Inspector = "J. Avocet",
                    TakenAt = new DateTimeOffset(2026, 3, 11, 8, 0, 0, TimeSpan.Zero).AddSeconds(16 * readings.Count),
                    TemperatureC = 20,
                    Stage = plan.Stages[0].Name,
                    Source = "million.csv",
                    Line = readings.Count + 2,
                });
            }
        }
        return new("million.csv", readings, new string('0', 64), []);
    }

    /// <summary>Puts readings into a record, which is made if need be.</summary>
    /// <returns>Entries added.</returns>
    public static long Add(string address, ReadingLog log, FitPlan plan)
    {
        using RecordStore record = RecordStore.Open(address, mayCreate: true);
        return record.Add(log, plan, new("bench", DateTimeOffset.UnixEpoch), SameKey.Ask).File!.Entries;
    }
}
