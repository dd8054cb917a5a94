using GapFlush.Capability;

namespace GapFlush.Workflows;

/// <summary>How capable many places are together; every place counts in one of the first five.</summary>
/// <param name="Shown">A Ppk of 1.33 is shown with 95 % confidence.</param>
/// <param name="TooFewBuilds">Ppk is 1.33 or above, but it takes more builds to show it.</param>
/// <param name="Below">Ppk lies from 1.00 to below 1.33.</param>
/// <param name="FarBelow">Ppk lies below 1.00.</param>
/// <param name="NoIndex">No Ppk can be stated: no limits, no spread, or no distribution that fits.</param>
/// <param name="NotInControl">Places not in control, whose figures do not predict.</param>
/// <param name="SeenOutside">Values seen outside the limits.</param>
/// <param name="Lowest">The line with the lowest Ppk, or null.</param>
public sealed record CapabilityTally(int Shown, int TooFewBuilds, int Below, int FarBelow, int NoIndex, int NotInControl, int SeenOutside, CapabilityLine? Lowest)
{
    /// <summary>Counts lines.</summary>
    public static CapabilityTally Of(IReadOnlyCollection<CapabilityLine> lines)
    {
        int Count(Func<ProcessCapability, bool> holds) => lines.Count(l => holds(l.Capability));
        return new(Count(c => c.GoalIsShown), Count(c => !c.GoalIsShown && c.Ppk >= ProcessCapability.Goal), Count(c => !c.GoalIsShown && c.Ppk is >= 1 and < ProcessCapability.Goal), Count(c => !c.GoalIsShown && c.Ppk < 1), Count(c => c.Ppk is null),
            Count(c => c.InControl == false), lines.Sum(l => l.Capability.SeenOutside), lines.Where(l => l.Capability.Ppk is not null).MinBy(l => l.Capability.Ppk));
    }
}
