using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>Reads what nearly every command starts from.</summary>
internal static class PlanLoading
{
    /// <summary>The value of an outcome, its notices told; or the refusal that ends the command.</summary>
    public static T Use<T>(this Outcome<T> outcome, Talk talk) where T : class
    {
        if (!outcome.IsUsable) throw new RefusedException(outcome.Problems);
        talk.Say(outcome.Notices);
        return outcome.Value;
    }
}
