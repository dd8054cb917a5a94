using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Settles for which stage a build is judged.</summary>
/// <remarks>
/// The stage asked for, else the only stage of the readings. Readings of several stages and none asked for are not guessed at: a door before paint and the same
/// door after it have different limits.
/// </remarks>
internal static class StageChoice
{
    /// <summary>The stage, or null where neither plan nor readings name one; or what is wrong, as a sentence.</summary>
    public static (string? Stage, string? Wrong) For(FitPlan plan, string? asked, IReadOnlyList<Reading> readings)
    {
        if (asked is not null)
        {
            return plan.FindStage(asked) is not null ? (asked, null)
                : (null, $"the plan has no stage '{asked}'. {(plan.Stages.Count == 0 ? "It names no stages; leave --stage out." : $"Stages: {string.Join(", ", plan.Stages.Select(s => s.Name))}.")}");
        }
        List<string> seen = [.. readings.Select(r => r.Stage).OfType<string>().Distinct()];
        return seen.Count switch
        {
            0 => (plan.Stages.Count == 1 ? plan.Stages[0].Name : null, null),
            1 => (seen[0], null),
            _ => (null, $"the readings are of {seen.Count} stages ({string.Join(", ", seen)}); say which one to judge with --stage."),
        };
    }
}
