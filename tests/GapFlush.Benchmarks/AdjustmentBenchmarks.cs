using BenchmarkDotNet.Attributes;
using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Demo;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Workflows;

namespace GapFlush.Benchmarks;

/// <summary>How long the advice for a door takes: the baggage door of the demo with an eighth adjuster, 8 adjusters and about 240 judged values that follow them.</summary>
[ShortRunJob]
public class AdjustmentBenchmarks
{
    private FitPlan _plan = null!;
    private DoorResult _result = null!;

    /// <summary>Reads the door once.</summary>
    [GlobalSetup]
    public void Read()
    {
        FitPlan plan = Dabchick.Plan;
        Adjuster hinge = plan.Adjusters.First(a => a.Door == "B1" && a.Name == "hinge-height");
        _plan = plan with { Adjusters = [.. plan.Adjusters, hinge with { Name = "bump-stop", Direction = new(0, -1, 0), MinimumMm = -1, MaximumMm = 1, StepMm = 0.25 }] };
        byte[] sheet = System.Text.Encoding.UTF8.GetBytes(Dabchick.Build(17).Text);
        Readings.ReadingLog log = Readings.ReadingsReader.Read(new InputFile("sheet.csv", () => new MemoryStream(sheet)), _plan).Value;
        _result = InspectBuild.Run(_plan, Dabchick.Serial(17), null, [log]).Value.Doors.First(d => d.Door.Code == "B1");
    }

    /// <summary>Everything: effects, stepless and stepped search, fewest moves, probabilities, the door judged again.</summary>
    [Benchmark]
    public DoorAdjustment Advice_8_adjusters() => DoorAdjustment.For(_plan, _result);

    /// <summary>For comparison: carrying the readings along with one given movement and judging the door again.</summary>
    [Benchmark(Baseline = true)]
    public DoorResult Judging_the_door_once() => DoorAdjustment.Moved(_plan, _result, DoorHolding.Of(_plan, _result.Door).Displacement(new double[8]));
}
