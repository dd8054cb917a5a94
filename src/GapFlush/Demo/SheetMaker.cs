using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>Reads the doors of a demo build with the shop's gauges, as an inspector does: all gaps round a door, then all flushes, then the seal land.</summary>
internal static class SheetMaker
{
    private static readonly string[] Inspectors = ["M. Teal", "R. Sandpiper", "J. Avocet", "K. Turnstone"];

    public static List<SheetRow> Read(FitPlan plan, string serial, int sequence, IReadOnlyList<DoorTruth> truths, DemoOptions options, SeededRandom random)
    {
        string inspector = Inspectors[random.Below(Inspectors.Length)];
        string[] gauges = [sequence % 2 == 1 ? "TG-11" : "TG-12", sequence % 3 == 0 ? "SG-05" : "SG-04", sequence % 4 == 0 ? "DM-03" : "DM-02"];
        double[] common = [random.Normal(), random.Normal(), random.Normal()];
        DateTimeOffset at = new(DabchickPlan.DayOf(sequence), new TimeOnly(8, 30).AddMinutes(random.Below(300)), TimeSpan.Zero);
        List<SheetRow> rows = [];
        foreach (DoorTruth truth in truths)
        {
            double temperature = Math.Round(truth.TemperatureC, 1);
            for (int what = 0; what < 3; what++)
            {
                Gauge gauge = plan.FindGauge(gauges[what])!;
                Characteristic characteristic = what switch { 0 => Characteristic.Gap, 1 => Characteristic.Flush, _ => Characteristic.LandGap };
                double u = options.NoiseScale * (gauge.UncertaintyMm ?? 0) / gauge.CoverageFactor, share = options.RepeatabilityShare;
                string? definition = truth.Door.DefinitionOf(characteristic);
                for (int i = 0; i < truth.Door.Stations.Count; i++)
                {
                    double value = what switch { 0 => truth.GapAtTemperatureMm[i], 1 => truth.FlushMm[i], _ => truth.LandGapMm[i] };
                    double staying = value + u * (Math.Sqrt(options.CommonGaugeShare) * common[what] + Math.Sqrt((1 - options.CommonGaugeShare) * (1 - share * share)) * random.Normal());
                    int repeats = i % 10 == 4 ? options.Repeats : 1;
                    for (int k = 1; k <= repeats; k++)
                    {
                        double read = staying + u * Math.Sqrt(1 - options.CommonGaugeShare) * share * random.Normal();
                        at = at.AddSeconds(12 + random.Below(9));
                        rows.Add(new()
                        {
                            Build = serial,
                            Door = truth.Door.Code,
                            Station = truth.Door.Stations[i].Name,
                            Characteristic = characteristic,
                            Value = ToStep(read, gauge.ResolutionMm ?? 0.01),
                            Gauge = gauge.Name,
                            Inspector = inspector,
                            TakenAt = at,
                            Repeat = options.Repeats > 1 ? k : null,
                            TemperatureC = temperature,
                            Stage = options.Stage,
                            Definition = definition,
                            PlanIssue = plan.Issue,
                        });
                    }
                }
            }
            at = at.AddMinutes(4);
        }
        return rows;
    }

    /// <summary>The nearest mark of a gauge, written with two decimals.</summary>
    internal static double ToStep(double value, double step) => Math.Round(Math.Round(value / step) * step, 2) + 0.0;
}
