using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>A crossed gauge study: ten places of one door, three people, three readings each, taper gauge and step gauge.</summary>
internal static class GaugeStudyModel
{
    /// <summary>Planted standard deviation of one reading at one place by one person, mm: gap, flush.</summary>
    internal static readonly double[] RepeatMm = [0.035, 0.012];

    /// <summary>Planted offset of each person, mm: gap, flush.</summary>
    internal static readonly double[][] PersonMm = [[0.030, -0.020, -0.010], [0.004, 0.006, -0.010]];

    /// <summary>Planted standard deviation of what one person does differently at one place, mm: gap, flush.</summary>
    internal static readonly double[] TogetherMm = [0.010, 0.004];

    private static readonly string[] People = ["M. Teal", "R. Sandpiper", "J. Avocet"];

    public static List<SheetRow> Read(FitPlan plan, DemoBuild build, ulong stream)
    {
        SeededRandom random = new(stream);
        DoorTruth truth = build.Truth("P1");
        DateTimeOffset at = new(DabchickPlan.DayOf(build.Sequence).AddDays(1), new TimeOnly(9, 0), TimeSpan.Zero);
        List<SheetRow> rows = [];
        for (int what = 0; what < 2; what++)
        {
            (Characteristic characteristic, Gauge gauge) = what == 0 ? (Characteristic.Gap, plan.FindGauge("TG-11")!) : (Characteristic.Flush, plan.FindGauge("SG-04")!);
            double[] together = [.. Enumerable.Range(0, 30).Select(_ => random.Normal(0, TogetherMm[what]))];
            for (int repeat = 1; repeat <= 3; repeat++)
            {
                for (int person = 0; person < 3; person++)
                {
                    for (int part = 0; part < 10; part++)
                    {
                        int i = 2 + part * 5;
                        double value = (what == 0 ? truth.GapMm[i] : truth.FlushMm[i]) + PersonMm[what][person] + together[3 * part + person] + random.Normal(0, RepeatMm[what]);
                        at = at.AddSeconds(15 + random.Below(10));
                        rows.Add(new()
                        {
                            Build = build.Serial,
                            Door = "P1",
                            Station = truth.Door.Stations[i].Name,
                            Characteristic = characteristic,
                            Value = SheetMaker.ToStep(value, gauge.ResolutionMm!.Value),
                            Gauge = gauge.Name,
                            Inspector = People[person],
                            TakenAt = at,
                            Repeat = repeat,
                            TemperatureC = 20.0,
                            Stage = DabchickPlan.TrialFit,
                            Definition = truth.Door.DefinitionOf(characteristic),
                            PlanIssue = plan.Issue,
                        });
                    }
                }
            }
        }
        return rows;
    }
}
