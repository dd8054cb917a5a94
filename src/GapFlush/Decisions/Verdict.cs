namespace GapFlush.Decisions;

/// <summary>What can be said of a value against its limits.</summary>
public enum Verdict
{
    /// <summary>Inside the limits, as the decision rule asks.</summary>
    Within,

    /// <summary>Neither proven inside nor proven outside.</summary>
    Undecided,

    /// <summary>Outside the limits, as the decision rule asks.</summary>
    Outside,

    /// <summary>There is no value to judge.</summary>
    Missing,
}
