namespace GapFlush.Plan;

/// <summary>How a value with its uncertainty is held against limits.</summary>
public enum DecisionRule
{
    /// <summary>ISO 14253-1: within only where the limits, moved in by the expanded uncertainty, hold; outside only beyond the limits moved out.</summary>
    ProveConformity,

    /// <summary>The limits as they stand, uncertainty shown but not used.</summary>
    SimpleAcceptance,
}
