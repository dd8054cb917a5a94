using GapFlush.Readings;

namespace GapFlush.Drainage;

/// <summary>A water test beside what geometry and seal readings predict for the same place and attitude.</summary>
/// <param name="Test">The test.</param>
/// <param name="RiskPredicted">True where an ingress risk is predicted; null where nothing can be predicted because the seal beside the water was not read, or is not proven to press enough.</param>
public sealed record WaterTestAgainstPrediction(WaterTest Test, bool? RiskPredicted)
{
    /// <summary>True where test and prediction agree; null where nothing is predicted.</summary>
    public bool? Agrees => RiskPredicted is bool risk ? risk == Test.IsWet : null;

    /// <summary>One sentence.</summary>
    public string Sentence
    {
        get
        {
            string place = $"door {Test.Door}{(Test.Station is null ? "" : $", station {Test.Station}")}{(Test.Attitude is null ? "" : $", {Test.Attitude}")}";
            string effort = Test.Minutes is double minutes ? Invariant($" after {minutes:0.#} min") + (Test.FlowLPerMin is double flow ? Invariant($" at {flow:0.#} L/min") : "") : "";
            return $"{place}: {(Test.IsWet ? "wet" : "dry")}{effort}; " + (RiskPredicted, Test.IsWet) switch
            {
                (null, _) => "nothing is predicted here, as the seal was not read or is not proven to press enough.",
                (true, true) => "a risk was predicted: agreement.",
                (false, false) => "no risk was predicted: agreement.",
                (false, true) => "no risk was predicted: look for a blocked drain, a joint of the seal, or another way in.",
                (true, false) => "a risk was predicted: the water stood or ran elsewhere this time; the risk stays.",
            };
        }
    }

    /// <summary>Puts tests beside the predictions for the same door, and the same station and attitude where the test names them.</summary>
    /// <param name="tests">The tests of one build.</param>
    /// <param name="channels">The channels, judged.</param>
    /// <param name="sealsRead">Whether the seal of a door was read.</param>
    public static IReadOnlyList<WaterTestAgainstPrediction> Compare(IEnumerable<WaterTest> tests, IReadOnlyList<ChannelResult> channels, Func<string, bool> sealsRead) =>
        [.. tests.Select(t => new WaterTestAgainstPrediction(t, sealsRead(t.Door) ? Predicted(t, channels) : null))];

    private static bool? Predicted(WaterTest test, IReadOnlyList<ChannelResult> channels)
    {
        ChannelResult[] ofDoor = [.. channels.Where(c => c.Channel.Door == test.Door)];
        IngressRisk[] there = [.. ofDoor.SelectMany(c => c.Attitudes).Where(a => test.Attitude is null || a.Attitude.Name == test.Attitude)
            .SelectMany(a => a.Ingress).Where(i => test.Station is null || i.Station == test.Station)];
        return there.Any(i => i.IsRisk) ? true : there.Length > 0 || ofDoor.Any(c => c.Attitudes.Count == 0) ? null : false;
    }
}
