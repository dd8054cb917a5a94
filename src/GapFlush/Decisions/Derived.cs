using GapFlush.Measurements;

namespace GapFlush.Decisions;

/// <summary>What all derived measurements share.</summary>
internal static class Derived
{
    /// <summary>A measurement with its sources of uncertainty put together.</summary>
    public static Measurement WithBudget(Measurement measurement, UncertaintyBudget budget) => measurement with
    {
        Budget = budget.Components,
        StandardUncertainty = budget.StandardUncertainty,
        DegreesOfFreedom = budget.EffectiveDegreesOfFreedom,
        CoverageFactor = budget.CoverageFactor,
    };
}
