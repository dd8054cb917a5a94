using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Ingress risks in sentences: attitude, rain, water, place, seal.</summary>
public static class IngressWords
{
    /// <summary>What is said of one channel in one attitude: a sentence for each water that lies against a seal that presses too little, then for each that lies
    /// against one not proven to press enough, then for each beside which the seal is not known.</summary>
    /// <param name="at">The channel in the attitude.</param>
    /// <param name="rain">The rain, or null.</param>
    public static IReadOnlyList<string> Of(ChannelInAttitude at, RainIntensity? rain)
    {
        string when = $"{Stands(at.Attitude)}{(rain is RainIntensity r ? Invariant($", {r.MmPerH:0.#} mm/h") : "")}";
        List<string> sentences = [];
        foreach (IGrouping<string, IngressRisk> water in at.Ingress.GroupBy(i => i.Water))
        {
            IngressRisk[] below = [.. water.Where(i => i.IsKnown && i.IsBelow).OrderBy(i => i.CompressionPercent - i.LeastPercent)];
            IngressRisk[] close = [.. water.Where(i => i.IsKnown && !i.IsBelow).OrderBy(i => i.CompressionPercent - i.LeastPercent)];
            IngressRisk[] unknown = [.. water.Where(i => !i.IsKnown)];
            if (below.Length > 0) sentences.Add($"{when}: {water.Key} at {below[0].Place} lies against a seal compressed {Pressed(below[0])}: {(below[0].IsWaterProven ? "ingress risk" : "but so little water is not proven to stand there")}{Also(below)}");
            if (close.Length > 0) sentences.Add($"{when}: {water.Key} at {close[0].Place} lies against a seal compressed {Pressed(close[0])}: enough, but not proven{Also(close)}");
            if (unknown.Length > 0)
            {
                sentences.Add($"{when}: {water.Key} lies beside {string.Join(", ", unknown.Select(u => u.Place))}, where "
                    + $"{(unknown.All(u => u.CompressionPercent is not null) ? "the plan gives no least compression" : "the seal was not read")}: whether it comes in is not said");
            }
        }
        return sentences;
    }

    /// <summary>An attitude by its angles: "starboard wing low 3 deg, nose up 1 deg"; "level".</summary>
    public static string Stands(Attitude attitude)
    {
        List<string> parts = [];
        if (attitude.RollDeg != 0) parts.Add(Invariant($"{(attitude.RollDeg > 0 ? "starboard" : "port")} wing low {Math.Abs(attitude.RollDeg):0.##} deg"));
        if (attitude.PitchDeg != 0) parts.Add(Invariant($"nose {(attitude.PitchDeg > 0 ? "up" : "down")} {Math.Abs(attitude.PitchDeg):0.##} deg"));
        return parts.Count == 0 ? "level" : string.Join(", ", parts);
    }

    private static string Pressed(IngressRisk risk) => Invariant($"{risk.CompressionPercent:0.#} %")
        + (risk.UncertaintyPercent is > 0 and double u ? Invariant($" (U {u:0.#} %{(risk.IsPredicted ? ", predicted from flush" : "")})") : risk.IsPredicted ? " (predicted from flush)" : "") + Invariant($", least {risk.LeastPercent:0.#} %");

    private static string Also(IngressRisk[] risks) => risks.Length == 1 ? "" : $" (also {string.Join(", ", risks.Skip(1).Select(r => Invariant($"{r.Place} at {r.CompressionPercent:0.#} %")))})";
}
