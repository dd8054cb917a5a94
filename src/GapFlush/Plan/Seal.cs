namespace GapFlush.Plan;

/// <summary>The seal of a door or zone.</summary>
/// <param name="Door">Door code, or null for any door.</param>
/// <param name="Zone">Zone, or null for any zone.</param>
/// <param name="Name">Name of the seal profile, the key of its load curve.</param>
/// <param name="FreeHeightMm">Height without load, mm.</param>
/// <param name="SetPercent">Compression set expected in service, per cent of the deflection (ISO 815-1, ASTM D395 method B), or null.</param>
public sealed record Seal(string? Door, string? Zone, string Name, double FreeHeightMm, double? SetPercent)
{
    /// <summary>How the seal sits; lapped where the plan does not say.</summary>
    public SealJoint Joint { get; init; } = SealJoint.Lap;

    /// <summary>Expanded uncertainty (k = 2) of the free height, mm, or null where the plan gives none.</summary>
    public double? FreeHeightUncertaintyMm { get; init; }

    /// <summary>How far carrier and land may sit from where the skins say they do: expanded uncertainty (k = 2) of a land gap predicted from flush or gap, mm; or null
    /// where the plan gives none.</summary>
    public double? LandUncertaintyMm { get; init; }
}
