using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Judged channels as rows of the results file. The zone column holds the channel, the definition column the attitude.</summary>
/// <remarks>
/// For each attitude a slope (of the run that decides) and a pond depth, whose row also says what the plan's rain does. Then a pond depth for the worst place between
/// the attitudes, and a slope without value where points were not measured. So the worst of the rows is the verdict of the channel.
/// </remarks>
internal static class DrainRows
{
    /// <summary>What the definition column says for all attitudes between the least and greatest pitch and roll.</summary>
    public const string Between = "between the attitudes";

    public static List<ResultRow> Of(FitPlan plan, string? build, bool isMeasured, IReadOnlyList<Attitude> attitudes, IReadOnlyList<ChannelResult> results)
    {
        List<ResultRow> rows = [];
        foreach (ChannelResult result in results)
        {
            if (result.Reason is not null)
            {
                foreach (Attitude attitude in attitudes)
                {
                    foreach (Characteristic what in new[] { Characteristic.Slope, Characteristic.PondDepth })
                        rows.Add(new(Row(result, attitude.Name, what, null, null, result.Reason), null, plan.Limits.For(what, result.Channel.Door)?.Limits, Verdict.Missing, result.Reason));
                }
                continue;
            }
            foreach (ChannelInAttitude at in result.Attitudes)
            {
                RunVerdict run = at.DecidingRun;
                string place = $"run {run.Run.From} to {run.Run.To}";
                rows.Add(new(Row(result, at.Attitude.Name, Characteristic.Slope, run.Run.SlopePercent, run.Run.SlopeUncertaintyPercent, place), null, run.Limits, run.Verdict,
                    run.Reason is null ? place : $"{place}: {run.Reason}"));
                string? pond = at.Water.Ponds.Count == 0 ? null : at.Water.Ponds.MaxBy(p => p.DepthMm)!.LowPoint;
                Verdict? water = at.PondVerdict is Verdict p && at.FlowVerdict is Verdict f ? (ChannelInAttitude.Rank(f) > ChannelInAttitude.Rank(p) ? f : p) : at.PondVerdict ?? at.FlowVerdict;
                string?[] reasons = [at.PondReason, at.FlowReason];
                rows.Add(new(Row(result, at.Attitude.Name, Characteristic.PondDepth, at.Water.PondDepthMm, at.PondUncertaintyMm / 2, pond is null ? null : $"at point {pond}"), null, at.PondLimits, water,
                    reasons.All(r => r is null) ? null : string.Join("; ", reasons.OfType<string>())));
            }
            if (result.WorstDepth is WorstPond worst && (result.Box.PitchMaxDeg > result.Box.PitchMinDeg || result.Box.RollMaxDeg > result.Box.RollMinDeg))
            {
                string where = Invariant($"at pitch {worst.PitchDeg:0.0#}, roll {worst.RollDeg:0.0#} degrees");
                rows.Add(new(Row(result, Between, Characteristic.PondDepth, worst.Value, result.BoxUncertaintyMm / 2, where), null, result.Attitudes[0].PondLimits, result.BoxVerdict, result.BoxReason));
            }
            if (result.Attitudes[0].Unmeasured is { Count: > 0 } unmeasured)
            {
                string reason = $"not measured: point{(unmeasured.Count > 1 ? "s" : "")} {string.Join(", ", unmeasured)}";
                rows.Add(new(Row(result, null, Characteristic.Slope, null, null, reason), null, plan.Limits.For(Characteristic.Slope, result.Channel.Door)?.Limits, Verdict.Missing, reason));
            }
        }
        return rows;

        Measurement Row(ChannelResult result, string? attitude, Characteristic what, double? value, double? standard, string? reason) => new()
        {
            Build = build ?? (isMeasured ? "not named" : "nominal"),
            Door = result.Channel.Door ?? "",
            Zone = result.Channel.Name,
            Characteristic = what,
            Definition = attitude,
            Value = value,
            StandardUncertainty = value is null ? null : standard,
            Origin = isMeasured ? MeasurementOrigin.Derived : MeasurementOrigin.Predicted,
            Reason = reason,
        };
    }
}
